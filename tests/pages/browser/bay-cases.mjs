// Jobs for the bay page. Cars and numbers are invented: readings that the program itself gives for
// the car with the fault named, rounded as instruments show them.
const SOUND = { idle: { metered_air: "2.01", short_trim: "0.4", long_trim: "-0.8", manifold_pressure: "29.2" }, "full load": { speed: "3500", metered_air: "93.8", lambda: "0.90", boost_sensor: "85.0" } };
const RING = { which: "ring", values: { pipe_diameter: "10", bore_diameter: "13.2", gland_width: "2.8", new_section: "2", used_section: "1.7" }, says: /Replace the ring/ };
const COVER = { which: "gap", gaps: ["0.15", "0.38", "0.30", "0.10"], values: { span_length: "20", depth: "3" }, says: /The cover is bowed/ };
const DECAY = { which: "decay", values: { start_pressure: "60", end_pressure: "22", time: "30" }, says: /As a hole/ };

export const CASES = [
  {
    // A 2 mm hole at the manifold, no code read.
    name: "gasket", felt: ["Rough idle"], codes: ["P0171"], fits: /gasket/i, found: "manifold_gasket", part: DECAY, after: SOUND,
    read: { idle: { metered_air: "1.63", short_trim: "17.6", long_trim: "25", manifold_pressure: "31.2" }, "full load": { speed: "3500", metered_air: "93.4", lambda: "0.86", boost_sensor: "85.0" } },
  },
  { name: "hard-ring", felt: ["Oil mist"], fits: /healthy/, found: "nothing", part: RING, after: SOUND, read: SOUND },
  {
    // A cover bowed by 15 thou: the readings hardly show it, the feeler gauge does.
    name: "bowed-cover", felt: ["Down on power"], fits: /healthy|seat|decided|apart/i, found: "recirculation_seat", part: COVER, after: SOUND,
    read: { idle: { metered_air: "2.01", short_trim: "0", long_trim: "0", manifold_pressure: "29.1" }, "full load": { speed: "3500", metered_air: "93.2", lambda: "0.90", boost_sensor: "85.0", intake_temperature: "35" } },
  },
  // The log of a 5 mm hole: lean in its pull, and that is said first.
  { name: "split-hose", danger: true, felt: ["Whistle or hiss"], log: true, fits: /pipe|cooler/i, found: "cold_pipe", part: DECAY, after: SOUND },
  {
    // A meter that reads 18 % low and a 1.4 mm hole at the manifold gasket: one fault alone misleads.
    name: "gasket-and-meter", felt: ["Rough idle", "Warning lamp"], codes: ["P0171", "P2187"], fits: /./, pairs: /\+/, found: "manifold_gasket", part: DECAY, after: SOUND,
    read: { idle: { metered_air: "1.40", short_trim: "14.7", long_trim: "25", manifold_pressure: "29.1" }, cruise: { speed: "2400", metered_air: "13.6", short_trim: "0", long_trim: "24.0", manifold_pressure: "52.7", lambda: "1.00" }, "full load": { speed: "3500", metered_air: "77.3", lambda: "0.88", boost_sensor: "85.0", wastegate_solenoid_duty: "43", long_trim: "24.6", manifold_pressure: "185.7" } },
  },
  {
    name: "lean", felt: ["Knocks"], codes: ["P0171"], danger: true, fits: /fuel/i, found: "fuel_supply", part: RING, after: SOUND,
    read: { idle: { metered_air: "1.98", short_trim: "2", long_trim: "12" }, "full load": { speed: "3500", metered_air: "93", lambda: "1.06", boost_sensor: "84" } },
  },
];

// A drive of so many minutes, as the scenario of an invented car with a hidden split hose: hills, town and
// motorway by a fixed course, no two stretches alike. `falseair simulate --time` makes a log of it.
//   node long-log.mjs [MINUTES] > SCENARIO.toml   (vehicle beside it: brindle-16.toml)
const minutes = Number(process.argv[2] ?? 25);
// Numbers that look drawn and are the same each time (a linear congruence, Knuth TAOCP 2, 3.2.1, constants
// of C's own example, from memory).
let seed = 20261129;
const drawn = (low, high, step = 1) => { seed = (seed * 1103515245 + 12345) % 2147483648; return low + step * Math.floor((seed / 2147483648) * (1 + (high - low) / step)); };
const rows = [];
let left = minutes * 60;
const add = (name, seconds, pedal, coupling, more = "", ramp = 0.5) => {
  const duration = Math.min(seconds, left);
  left -= duration;
  if (duration >= 2) rows.push(`[[drive]]\nname = "${name}"\nduration = "${duration} s"\npedal = "${pedal} %"\nramp = "${ramp} s"\ncoupling = "${coupling}"\n${more}`);
};
add("idle", 25, 0, "neutral");
while (left > 40) {
  for (let i = drawn(1, 3); i > 0; i -= 1) {
    const speed = drawn(1500, 3200, 100);
    add(`cruise ${speed}`, drawn(12, 40), drawn(16, 40), "held", `speed = "${speed} rpm"\n`, 1);
  }
  add("slow", 6, 10, "held", 'speed = "1700 rpm"\n', 0.3);
  if (drawn(0, 2) === 0) {
    add("pull", 7, 100, "in_gear", "", 0.2);
    add("lift-off", 4, 0, "in_gear", "", 0.2);
  }
  if (drawn(0, 3) === 0) {
    const speed = drawn(2500, 4500, 250);
    add(`full load ${speed} rpm`, 10, 100, "held", `speed = "${speed} rpm"\n`, 0.2);
  }
  add("idle", drawn(10, 25), 0, "neutral");
}
add("idle", left, 0, "neutral");
console.log(`title = "A long drive to be logged"
vehicle = "brindle-16.toml"

[ambient]
pressure = "98.5 kPa abs"
temperature = "18 degC"

[[leak]]
place = "cold_pipe"
round_hole = { diameter = "5 mm" }

${rows.join("\n")}`);

//! The readings for programs, and the table.

use crate::commands::across::{Found, name, shown};
use crate::page::{Block, Cell, Column};
use crate::say::across as say;
use crate::text::number::number;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Reading;
use sim::network::readings::{ALL, FORMS};
use sim::study::asking::across::{Load, SpeedLine, Spot, Working};
use sim::study::running::simulate::Side;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// rpm of rad/s.
pub(super) const RPM: f64 = 30.0 / PI;

/// Readings across speed.
#[derive(Serialize, JsonSchema)]
pub(crate) struct AcrossFile {
    compressor_map: Vec<MapLine>,
    loads: Vec<AtLoad>,
    title: String,
    vehicle: String,
}

/// A line of one speed on the compressor map.
#[derive(Serialize, JsonSchema)]
struct MapLine {
    corrected_flow_g_s: Vec<f64>,
    corrected_speed_krpm: f64,
    pressure_ratio: Vec<f64>,
}

/// Speed by speed.
#[derive(Serialize, JsonSchema)]
struct AtLoad {
    load: &'static str,
    points: Vec<AtSpeed>,
}

/// Both cars at one speed.
#[derive(Serialize, JsonSchema)]
struct AtSpeed {
    faulty: Option<BTreeMap<&'static str, Entry>>,
    healthy: Option<BTreeMap<&'static str, Entry>>,
    /// Lowest and highest that 95 % of healthy cars read.
    sound_cars_95_pct: BTreeMap<&'static str, [f64; 2]>,
    speed_rpm: f64,
}

/// A reading by its key, or under `compressor` where on its map the compressor works.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
enum Entry {
    Reading(Option<f64>),
    Compressor(Option<OnMap>),
}

/// A point on the compressor map.
#[derive(Serialize, JsonSchema)]
struct OnMap {
    corrected_flow_g_s: f64,
    corrected_speed_krpm: f64,
    pressure_ratio: f64,
}

impl AcrossFile {
    pub(super) fn new(found: &Found) -> Self {
        let loads = found.lines.iter().map(|(load, spots)| AtLoad {
            load: name(*load),
            points: spots.iter().map(AtSpeed::new).collect(),
        });
        Self {
            compressor_map: found.map.iter().map(MapLine::new).collect(),
            loads: loads.collect(),
            title: found.case.scenario.title.clone(),
            vehicle: found.case.network.vehicle.name.clone(),
        }
    }
}

impl MapLine {
    fn new(line: &SpeedLine) -> Self {
        let column = |of: fn(&Working) -> f64| line.points.iter().map(of).collect();
        Self {
            corrected_flow_g_s: column(|at| at.flow * 1e3),
            corrected_speed_krpm: line.speed * RPM * 1e-3,
            pressure_ratio: column(|at| at.pressure_ratio),
        }
    }
}

impl AtSpeed {
    fn new(spot: &Spot) -> Self {
        let side = |side: Option<&Side>, working: Option<&Working>| {
            let compressor = working.map(|at| OnMap {
                corrected_flow_g_s: at.flow * 1e3,
                corrected_speed_krpm: at.speed * RPM * 1e-3,
                pressure_ratio: at.pressure_ratio,
            });
            let readings = ALL.iter().zip(FORMS);
            let readings = readings.map(|(reading, form)| {
                let value = side.and_then(|side| side.readings.get(*reading));
                (form.key, Entry::Reading(value))
            });
            let compressor = ("compressor", Entry::Compressor(compressor));
            side.map(|_| readings.chain([compressor]).collect())
        };
        let bands = ALL.iter().zip(FORMS);
        let [healthy, leaking] = spot.compressor.each_ref().map(Option::as_ref);
        Self {
            faulty: side(faulty(spot), leaking),
            healthy: side(spot.sound.as_ref().ok(), healthy),
            sound_cars_95_pct: bands
                .filter_map(|(reading, form)| Some((form.key, band(spot, *reading)?)))
                .collect(),
            speed_rpm: spot.speed * RPM,
        }
    }
}

/// What has no answer, in words.
pub(super) fn failures(load: Load, spots: &[Spot]) -> impl Iterator<Item = String> {
    spots.iter().flat_map(move |spot| {
        let sides = [
            ("healthy", Some(&spot.sound)),
            ("faulty", spot.faulty.as_ref()),
        ];
        let failed = sides.into_iter();
        let failed = failed.filter_map(|(which, side)| Some((which, side?.as_ref().err()?)));
        failed.map(move |(which, why)| {
            format!("{} {:.0} rpm, {which}: {why}", name(load), spot.speed * RPM)
        })
    })
}

pub(super) fn value(side: &Side, reading: Reading) -> f64 {
    side.readings.values[reading as usize]
}

pub(super) fn faulty(spot: &Spot) -> Option<&Side> {
    spot.faulty.as_ref()?.as_ref().ok()
}

/// Lowest and highest that 95 % of healthy cars read.
pub(super) fn band(spot: &Spot, reading: Reading) -> Option<[f64; 2]> {
    let (side, spread) = (spot.sound.as_ref().ok()?, spot.spread.as_ref()?);
    let (middle, half) = (value(side, reading), spread[reading as usize]);
    let band = [middle - half, middle + half].map(|end| reading.within(end));
    band.iter().all(|end| end.is_finite()).then_some(band)
}

/// How far a value lies outside the band, over half its width; none inside, and where there is none.
pub(super) fn outside(spot: &Spot, read: f64, reading: Reading) -> Option<f64> {
    let [low, high] = band(spot, reading)?;
    let beyond = (low - read).max(read - high);
    (beyond > 0.0).then(|| beyond / (0.5 * (high - low)).max(f64::MIN_POSITIVE))
}

/// A value; `!` behind one outside the band.
fn cell(spot: &Spot, side: Option<&Side>, reading: Reading, judged: bool) -> String {
    let Some(read) = side.and_then(|side| side.readings.get(reading)) else {
        return "\u{2013}".into();
    };
    let outside = outside(spot, read, reading).is_some();
    let mark = if judged && outside { "!" } else { "" };
    number(read, FORMS[reading as usize].decimals.min(3)) + mark
}

/// Speed by reading.
pub(super) fn table(healthy: bool, load: Load, spots: &[Spot]) -> Block {
    let columns = shown(load).map(|reading| {
        let form = &FORMS[reading as usize];
        Column::numbers(form.label, form.unit)
    });
    let row = |spot: &Spot| {
        let cells = shown(load).map(|reading| {
            let sound = cell(spot, spot.sound.as_ref().ok(), reading, false);
            match spot.faulty {
                Some(_) => format!("{sound} / {}", cell(spot, faulty(spot), reading, true)),
                None => sound,
            }
        });
        let speed = Cell::number(spot.speed * RPM, 0, "");
        let cells = cells.map(Cell::words);
        [speed].into_iter().chain(cells).collect()
    };
    let caption = if healthy { say::ALONE } else { say::BESIDE };
    let head = [Column::numbers("", "rpm")].into_iter().chain(columns);
    Block::table(caption, head, spots.iter().map(row))
}

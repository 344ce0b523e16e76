//! The readings for people: tables, a chart a reading, the compressor map.

use crate::answer::head::history;
use crate::commands::across::form::{RPM, band, failures, faulty, outside, table, value};
use crate::commands::across::{Found, name, shown};
use crate::figure::axis::Axis;
use crate::figure::chart::{Band, Chart, Rule, Series};
use crate::figure::ink::Ink;
use crate::figure::scene::Side as Beside;
use crate::page::{Block, CAUTION, Line, Page, Picture, Section};
use crate::say::across as say;
use crate::text::number::{number, slug};
use crate::text::words::capital;
use sim::network::Reading;
use sim::network::readings::FORMS;
use sim::study::asking::across::{Load, REFERENCE, Spot, Working};

pub(super) fn page(found: &Found) -> Page {
    let band = vec![
        Block::Says(says(found)),
        Block::Words(say::BAND.into()).on_page(),
    ];
    let band = Section::new("", band);
    let lines = found.lines.iter().enumerate();
    let lines = lines.map(|(i, (load, spots))| section(found, i, *load, spots));
    let caption = say::map(REFERENCE.0 - 273.15, REFERENCE.1 * 1e-3);
    let map = Picture::new("compressor-map", caption, map(found).scene(620.0, 420.0));
    let map = Section::new("On the compressor map", vec![Block::Picture(map)]);
    Page {
        title: say::title(&found.case.scenario.title),
        lead: vec![Line::new("car", &found.case.network.vehicle.name)]
            .into_iter()
            .chain(history(&found.case))
            .collect(),
        sections: [band].into_iter().chain(lines).chain([map]).collect(),
        notes: vec![CAUTION.into()],
        ..Page::default()
    }
}

/// What lies beyond where healthy cars read, the farthest first.
fn says(found: &Found) -> String {
    if found.case.network.is_healthy() {
        return say::ALONE_SAYS.into();
    }
    let loads: Vec<String> = (found.lines.iter())
        .filter_map(|(load, spots)| {
            let mut all: Vec<(f64, String)> = shown(*load)
                .into_iter()
                .filter_map(|reading| beyond(spots, reading))
                .collect();
            all.sort_by(|a, b| b.0.total_cmp(&a.0));
            let all: Vec<String> = all.into_iter().map(|(_, words)| words).collect();
            (!all.is_empty()).then(|| say::beyond_at(name(*load), all.join(", ")))
        })
        .collect();
    match loads.is_empty() {
        true => say::NOTHING.into(),
        false => say::beyond(loads.join("; ")),
    }
}

/// Of a reading that lies beyond: how far at most, and from which speed to which, with the worst.
fn beyond(spots: &[Spot], reading: Reading) -> Option<(f64, String)> {
    let form = &FORMS[reading as usize];
    let out = spots.iter().filter_map(|spot| {
        let read = faulty(spot)?.readings.get(reading)?;
        Some((outside(spot, read, reading)?, spot, read))
    });
    let out: Vec<(f64, &Spot, f64)> = out.collect();
    let worst = out.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (from, to) = (out.first()?.1.speed * RPM, out.last()?.1.speed * RPM);
    let sound = value(worst.1.sound.as_ref().ok()?, reading);
    let show = |value| number(value, form.decimals.min(3));
    let (at, read) = (worst.1.speed * RPM, show(worst.2));
    let read = format!("{read} {}", form.unit);
    let words = say::reading_beyond(form.label, from, to, read.trim_end(), show(sound), at);
    Some((worst.0, words))
}

fn section(found: &Found, index: usize, load: Load, spots: &[Spot]) -> Section {
    let pictures = shown(load).map(|reading| {
        let form = &FORMS[reading as usize];
        Picture::new(
            slug(&format!("{}-{}", name(load), form.key)),
            say::at_load(capital(form.label), name(load)),
            chart(found, index, spots, reading).scene(340.0, 220.0),
        )
    });
    let table = table(found.case.network.is_healthy(), load, spots);
    let mut blocks = vec![Block::Row(pictures.into()), table.on_terminal()];
    // A terminal has them beside the answer, as what went wrong.
    blocks.extend(Block::list(failures(load, spots)).map(Block::on_page));
    Section::new(capital(name(load)), blocks)
}

fn chart(found: &Found, index: usize, spots: &[Spot], reading: Reading) -> Chart {
    let form = &FORMS[reading as usize];
    let mut chart = Chart::new(
        Axis::new("engine speed", "rpm"),
        Axis::new(form.label, form.unit),
    );
    let place = |which: &str| {
        let points = format!("/loads/{index}/points/*");
        [
            format!("{points}/speed_rpm"),
            format!("{points}/{which}/{}", form.key),
        ]
    };
    let sound = spots.iter().map(|spot| {
        let read = spot.sound.as_ref();
        let read = read.map_or(f64::NAN, |side| value(side, reading));
        [spot.speed * RPM, read]
    });
    let [x, y] = place("healthy");
    let sound = Series::sound(sound.collect());
    chart.series.push(sound.from_json(x, y));
    if !found.case.network.is_healthy() {
        let this = spots.iter().filter_map(|spot| {
            let read = faulty(spot).map(|side| value(side, reading))?;
            Some([spot.speed * RPM, read])
        });
        let this: Vec<_> = this.collect();
        // Only if it runs everywhere does every point stand in the result.
        let whole = this.len() == spots.len();
        let [x, y] = place("faulty");
        let series = Series::faulty(this);
        chart.series.push(match whole {
            true => series.from_json(x, y),
            false => series,
        });
    }
    let within = spots.iter().filter_map(|spot| {
        let [low, high] = band(spot, reading)?;
        Some([spot.speed * RPM, low, high])
    });
    chart.bands.push(Band {
        name: String::new(),
        points: within.collect(),
    });
    chart.rules = rules(found, reading);
    if reading == Reading::LambdaSensor {
        let all = chart.series.iter().flat_map(|series| &series.points);
        let all = all.map(|p| p[1]).filter(|lambda| lambda.is_finite());
        let (low, high) = all.fold(LAMBDA, |(low, high), l| (low.min(l), high.max(l)));
        chart.y = chart.y.over(low, high);
    }
    chart
}

/// Least range of a lambda axis: a change that no sensor shows must not fill it.
const LAMBDA: (f64, f64) = (0.8, 1.1);

/// Where a code sets, or a limit stands.
fn rules(found: &Found, reading: Reading) -> Vec<Rule> {
    let vehicle = &found.case.network.vehicle;
    match reading {
        Reading::FuelTrim => {
            let trim = 100.0 * vehicle.watchdogs.trim;
            let level = |at: f64, code: &str| Rule::Level(at, format!("{code} in closed loop"));
            vec![level(trim, "P0171"), level(-trim, "P0172")]
        }
        Reading::ShaftSpeed => {
            let limit = vehicle.shaft.speed_limit * RPM * 1e-3;
            vec![Rule::Level(limit, "limit of the shaft".into())]
        }
        _ => Vec::new(),
    }
}

fn map(found: &Found) -> Chart {
    let mut chart = Chart::new(
        Axis::new("corrected flow", "g/s"),
        Axis::new("pressure ratio of the compressor", ""),
    );
    let at = |working: &Working| [working.flow * 1e3, working.pressure_ratio];
    for (i, line) in found.map.iter().enumerate() {
        let column = |key: &str| format!("/compressor_map/{i}/{key}/*");
        let series = Series::new("", Ink::Quiet, 0.9, line.points.iter().map(at).collect());
        chart
            .series
            .push(series.from_json(column("corrected_flow_g_s"), column("pressure_ratio")));
        if let Some(end) = line.points.get(line.points.len() * 3 / 5) {
            let words = format!("{:.0} krpm", line.speed * RPM * 1e-3);
            chart.notes.push((at(end), Beside::Right, words));
        }
    }
    let ends = |pick: fn(&[Working]) -> Option<&Working>| {
        let ends = found.map.iter().filter_map(|line| pick(&line.points));
        ends.map(at).collect::<Vec<_>>()
    };
    let (surge, choke) = (ends(|line| line.first()), ends(|line| line.last()));
    if let Some(top) = surge.last() {
        chart.notes.push((*top, Beside::Left, "surge".into()));
    }
    if let [.., a, b] = choke[..] {
        let above = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]) + 0.05];
        chart.notes.push((above, Beside::Middle, "choke".into()));
    }
    for line in [surge, choke] {
        chart.series.push(Series::new("", Ink::Text, 2.2, line));
    }
    let mut lines = found.lines.iter().enumerate();
    let Some((index, (_, spots))) = lines.find(|(_, (load, _))| *load == Load::Full) else {
        return chart;
    };
    for (k, which) in ["healthy", "faulty"].into_iter().enumerate() {
        let working: Vec<_> = spots
            .iter()
            .filter_map(|spot| spot.compressor[k].as_ref())
            .map(at)
            .collect();
        if working.is_empty() {
            continue;
        }
        let whole = working.len() == spots.len();
        let column = |key: &str| format!("/loads/{index}/points/*/{which}/compressor/{key}");
        let series = match k {
            0 => Series::sound(working),
            _ => Series::faulty(working),
        };
        let series = Series {
            dots: if k == 0 { 3.5 } else { 2.5 },
            ..series
        };
        chart.series.push(match whole {
            true => series.from_json(column("corrected_flow_g_s"), column("pressure_ratio")),
            false => series,
        });
    }
    chart
}

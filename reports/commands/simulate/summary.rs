//! All operating points of a case at a glance: where it shows most, what moves, and whether by one
//! car's readings alone such a car is told from a healthy one.

use crate::commands::simulate::answered::Answered;
use crate::commands::simulate::detail::leak_words;
use crate::page::{Block, Cell, Column, Line, Section, Table};
use crate::say::simulate as say;
use crate::text::number::{difference, number};
use sim::control::Code;
use sim::network::Network;
use sim::network::flows::FLOWS;
use sim::network::readings::{FORMS, Reading, Reading as R};
use sim::study::asking::seen::Seen;
use std::cmp::Ordering;

/// Most readings that are shown at a glance.
const MOST: usize = 5;
/// What is shown of a car with nothing wrong.
const HEALTHY: [Reading; MOST] = [
    Reading::MeteredAir,
    Reading::Boost,
    Reading::Manifold,
    Reading::Lambda,
    Reading::Torque,
];

/// The parts of the page: where it shows most, then point after point, folded away.
pub(super) fn sections(points: &[Answered], network: &Network<f64>, full: bool) -> Vec<Section> {
    let most = widest(points);
    if let [only] = points {
        return vec![only.section(0, network, Some(most))];
    }
    let seen: Vec<Vec<Seen>> = points.iter().map(Answered::seen).collect();
    let first = most_torque(points).unwrap_or_else(|| shown_most(&seen));
    let sections = points.iter().enumerate().map(|(i, point)| {
        let drawn = (first != i).then_some(most);
        (point.section(i, network, drawn))
            .folded(!full)
            .off_paper(!full)
    });
    let glance = Glance {
        all: points,
        seen: &seen,
        network,
        full,
    };
    let mut parts = vec![glance.section(first, most)];
    parts.extend(sections);
    parts
}

/// The largest flow at any point, g/s: bands of all drawings are to one scale.
pub(super) fn widest(points: &[Answered]) -> f64 {
    let sides = points.iter().flat_map(|point| point.cars()).flatten();
    let leak = FLOWS.len() - 1;
    let flows = sides.flat_map(|side| &side.flows[..leak]);
    flows.fold(0.1, |most: f64, flow| most.max(flow.abs()))
}

/// Index of the point at which a reading moves most.
pub(super) fn shown_most(seen: &[Vec<Seen>]) -> usize {
    let most = |seen: &Vec<Seen>| seen.iter().map(Seen::far).fold(0.0, f64::max);
    let most: Vec<f64> = seen.iter().map(most).collect();
    let best = (0..most.len()).max_by(|a, b| most[*a].total_cmp(&most[*b]).then(Ordering::Greater));
    best.unwrap_or(0)
}

/// Index of the point at which a car with nothing wrong gives most torque; none where it has no
/// answer, or something is wrong.
fn most_torque(points: &[Answered]) -> Option<usize> {
    if points.iter().any(|point| point.result.faulty.is_some()) {
        return None;
    }
    let torque = |point: &Answered| point.cars()[0].and_then(|side| side.readings.get(R::Torque));
    let all = points.iter().map(torque).enumerate();
    let all = all.filter_map(|(i, torque)| Some((i, torque?)));
    all.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
}

/// How a car with nothing wrong runs, in a sentence.
fn nothing_wrong(points: &[Answered]) -> Option<String> {
    let best = &points[most_torque(points)?];
    let side = best.cars()[0]?;
    let read = |reading: R| {
        let value = side.readings.get(reading).unwrap_or(f64::NAN);
        number(value, FORMS[reading as usize].decimals)
    };
    let runs = points.iter().filter(|point| point.cars()[0].is_some());
    let (runs, all) = (runs.count(), points.len());
    let runs = match runs == all {
        true => say::all_points(all),
        false => say::some_points(runs, all),
    };
    let [torque, boost, lambda] = [R::Torque, R::Boost, R::Lambda].map(read);
    let name = &best.result.name;
    Some(say::nothing_wrong(runs, torque, name, boost, lambda))
}

/// What stands before all points.
struct Glance<'a> {
    all: &'a [Answered],
    seen: &'a [Vec<Seen>],
    network: &'a Network<f64>,
    full: bool,
}

impl Glance<'_> {
    /// The point at which it shows most, and the flow of the widest band.
    fn section(&self, first: usize, most: f64) -> Section {
        let (all, shown) = (self.all, &self.all[first]);
        let name = &shown.result.name;
        let shows: Vec<bool> = (self.seen.iter())
            .map(|seen| seen.iter().any(Seen::shows))
            .collect();
        let compared = (all.iter()).any(|point| point.cars().iter().all(Option::is_some));
        let mut blocks = Vec::new();
        if compared && !shows.contains(&true) {
            blocks.push(Block::Says(say::SHOWS_NOWHERE.into()));
        } else if let Some(why) = &shown.why {
            blocks.push(Block::Says(say::shows_most(name, why)));
        } else {
            blocks.extend(nothing_wrong(all).map(Block::Says));
        }
        if compared && shows.contains(&true) {
            blocks.push(Block::Words(told_apart(all, self.seen)));
        }
        let beware = self.beware().map(Block::Caution);
        // On a terminal they stand at their points where these are shown.
        blocks.extend(beware.filter(|_| !self.full));
        blocks.extend(shown.drawing(first, self.network, most));
        blocks.push(Block::Table(match compared {
            true => changes(&self.beside(), say::CHANGES),
            false => healthy(all),
        }));
        if compared {
            let hidden = all.iter().zip(&shows).filter(|(_, shows)| !**shows);
            let hidden = hidden.map(|(point, _)| point.result.name.as_str());
            let hidden: Vec<&str> = hidden.collect();
            if shows.contains(&true) && !hidden.is_empty() {
                blocks.push(Block::Words(say::hidden_at(hidden.join(", "))));
            }
            let leaks = shown.cars()[1].into_iter().flat_map(|side| &side.leaks);
            let leaks = leaks.map(|leak| leak_words(self.network, leak));
            let leaks = leaks.map(|words| Line::new("leak", format!("{words} ({name})")));
            blocks.extend(leaks.map(Block::Labelled));
        }
        blocks.push(Block::Labelled(Line::new("codes", codes(all))));
        Section::new("", blocks)
    }

    /// Each point with what of it people can see.
    fn beside(&self) -> Vec<(&str, &[Seen])> {
        let names = self.all.iter().map(|point| point.result.name.as_str());
        names.zip(self.seen.iter().map(Vec::as_slice)).collect()
    }

    /// What has no answer and what to beware of, point by point.
    fn beware(&self) -> impl Iterator<Item = String> {
        self.all.iter().flat_map(|point| {
            let failed = point.failures().into_iter().map(say::no_answer);
            let name = &point.result.name;
            let warned = point.warnings().into_iter();
            failed.chain(warned.map(move |words| format!("{name}, {words}")))
        })
    }
}

/// Which codes are set where, the healthy car's said to be its own.
pub(super) fn codes(all: &[Answered]) -> String {
    let set = |car: usize| {
        let mut codes: Vec<(Code, Vec<&str>)> = Vec::new();
        for point in all {
            let side = point.cars()[car];
            for code in side.iter().flat_map(|side| &side.codes) {
                match codes.iter_mut().find(|(known, _)| known == code) {
                    Some((_, points)) => points.push(&point.result.name),
                    None => codes.push((*code, vec![&point.result.name])),
                }
            }
        }
        let codes = codes.into_iter();
        let codes = codes.map(|(code, at)| say::code_at(code, code.name(), at.join(", ")));
        codes.collect::<Vec<_>>().join("; ")
    };
    let compared = all.iter().any(|point| point.result.faulty.is_some());
    let (healthy, faulty) = (set(0), if compared { set(1) } else { String::new() });
    match (healthy.is_empty(), faulty.is_empty()) {
        (true, true) => "none".into(),
        (true, false) => faulty,
        (false, _) if !compared => healthy,
        (false, true) => say::healthy_sets(healthy),
        (false, false) => format!("{faulty}; {}", say::healthy_sets(healthy)),
    }
}

/// Whether a reading leaves the band of healthy cars, which and where.
fn told_apart(all: &[Answered], seen: &[Vec<Seen>]) -> String {
    let out = all.iter().zip(seen).flat_map(|(point, seen)| {
        let out = seen.iter().filter(|seen| seen.stands_out());
        out.map(|seen| (seen.far(), seen.reading, &point.result.name))
    });
    let far = out.max_by(|a, b| a.0.total_cmp(&b.0));
    match far {
        Some((_, reading, name)) => say::stands_out(FORMS[reading as usize].label, name),
        None => say::STANDS_OUT_NOWHERE.into(),
    }
}

/// Point by point how the readings that move most differ.
pub(super) fn changes(points: &[(&str, &[Seen])], caption: &str) -> Table {
    let mut readings: Vec<(f64, Reading)> = Vec::new();
    for one in points.iter().flat_map(|(_, seen)| *seen) {
        match readings
            .iter_mut()
            .find(|(_, reading)| *reading == one.reading)
        {
            Some((far, _)) => *far = far.max(one.far()),
            None => readings.push((one.far(), one.reading)),
        }
    }
    readings.sort_by(|a, b| b.0.total_cmp(&a.0));
    readings.truncate(MOST);
    let row = |(name, seen): &(&str, &[Seen])| {
        let cells = readings.iter().map(|(_, reading)| {
            let one = seen.iter().find(|seen| seen.reading == *reading);
            let Some(one) = one else {
                return Cell::words("\u{2013}");
            };
            let out = one.stands_out();
            let mark = if out { "!" } else { "" };
            let decimals = FORMS[*reading as usize].decimals;
            Cell {
                text: difference(one.change, decimals) + mark,
                strong: out,
                ..Cell::default()
            }
        });
        [Cell::words(*name)].into_iter().chain(cells).collect()
    };
    Table {
        caption: caption.into(),
        head: head(readings.iter().map(|(_, reading)| *reading)),
        rows: points.iter().map(row).collect(),
    }
}

/// Point by point what a car reads with which nothing is wrong, or which has nothing beside it.
fn healthy(all: &[Answered]) -> Table {
    let row = |(i, point): (usize, &Answered)| {
        let [healthy, faulty] = point.cars();
        let (which, side) = match healthy {
            Some(side) => ("healthy", Some(side)),
            None => ("faulty", faulty),
        };
        let cells = HEALTHY.iter().map(|reading| {
            let form = &FORMS[*reading as usize];
            let value = side.and_then(|side| side.readings.get(*reading));
            let json = format!("/points/{i}/{which}/{}", form.key);
            Cell::number(value.unwrap_or(f64::NAN), form.decimals, json)
        });
        [Cell::words(&point.result.name)]
            .into_iter()
            .chain(cells)
            .collect()
    };
    Table {
        caption: say::AT_A_GLANCE.into(),
        head: head(HEALTHY.into_iter()),
        rows: all.iter().enumerate().map(row).collect(),
    }
}

fn head(readings: impl Iterator<Item = Reading>) -> Vec<Column> {
    let columns = readings.map(|reading| {
        let form = &FORMS[reading as usize];
        Column::numbers(form.label, form.unit)
    });
    [Column::words("operating point")]
        .into_iter()
        .chain(columns)
        .collect()
}

impl Answered {
    /// What of it people can see.
    fn seen(&self) -> Vec<Seen> {
        match self.cars() {
            [Some(healthy), Some(faulty)] => Seen::all(healthy, faulty, self.spread.as_ref()),
            _ => Vec::new(),
        }
    }
}

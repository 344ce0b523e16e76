//! Every steady state of a car that the search finds, over the size of what is wrong with it, stable
//! or not; where the engine jumps from one to another as that grows, and where it jumps back as it
//! is mended.
//!
//! Curves are followed by pseudo-arclength ([`curve`]) from the healthy car, from where jumps end,
//! and from where the engine comes to rest when the whole has come at once or was there before the
//! start. What the computer has learnt at a size is what it learns while the fault grows. That no
//! further curve exists is not proved.

use crate::control::Command;
use crate::network::Network;
use crate::say::asking as say;
use crate::solve::arclength::{Place, curve};
use crate::solve::stability::growth;
use crate::solve::steady::{nearby, steady};
use crate::solve::{Failure, State};
use crate::study::running::history::{History, Ray, Spot, apart, opened_at};
use crate::study::running::learnt::cruise;
use crate::study::running::side::{Side, seen};
use crate::study::running::simulate::Comparison;

/// A steady state at a size.
pub struct Here {
    /// Share of the whole defects.
    pub share: f64,
    /// As people see it, before any code reduces the torque.
    pub side: Side,
    /// Fastest growth of a small disturbance, 1/s.
    pub growth: f64,
    /// Its angular frequency, rad/s; 0 where it drifts.
    pub swing: f64,
}

impl Here {
    /// Whether an engine stays there.
    pub fn stays(&self) -> bool {
        self.growth <= STILL
    }
}

/// A curve of steady states.
pub struct Curve {
    /// In the order of the curve.
    pub places: Vec<Here>,
}

impl Curve {
    /// Between which shares, along the curve, an engine swings away from it.
    pub fn swings(&self) -> Vec<(f64, f64)> {
        let away = |here: &Here| !here.stays() && here.swing > 0.0;
        let mut found = Vec::new();
        let first = self.places.first().filter(|here| away(here));
        let mut begun = first.map(|here| here.share);
        for pair in self.places.windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            // Growth is 0 in between.
            let between = a.share + (b.share - a.share) * (a.growth / (a.growth - b.growth));
            match (away(a), away(b)) {
                (false, true) if a.stays() => begun = Some(between),
                (false, true) => begun = Some(b.share),
                (true, false) => {
                    let end = if b.stays() { between } else { a.share };
                    found.extend(begun.take().map(|begun| (begun, end)));
                }
                _ => {}
            }
        }
        let last = self.places.last().map(|here| here.share);
        found.extend(begun.zip(last));
        found
    }
}

/// An engine that leaves a steady state which is there no more.
pub struct Jump {
    /// Share of the whole defects.
    pub share: f64,
    /// Whether it comes as they grow; else as they are mended.
    pub growing: bool,
    /// Where it was.
    pub from: Side,
    /// Where it runs to.
    pub to: Result<Side, Failure>,
}

/// What one operating point has.
pub struct Map {
    /// What it is called.
    pub name: String,
    /// Its curves.
    pub curves: Vec<Curve>,
    /// In the order in which they come.
    pub jumps: Vec<Jump>,
    /// What some sizes come to, by share and by how they came about, each with what the computer
    /// has then learnt.
    pub ends: Vec<(f64, History, Result<Side, Failure>)>,
}

/// Growth, 1/s, below which a disturbance is round-off.
const STILL: f64 = 1e-5;
/// Way, in scales, from which two states at one size are two.
const TWO: f64 = 1e-3;
/// Shares at which a fault is let come at once.
const TRIED: usize = 4;
/// Longest step of the size between two places that are kept.
const KEPT: f64 = 0.01;

/// The points of a scenario, and light cruise, where the computer learns what it goes by at others.
pub fn with_lesson(
    network: &Network<f64>,
    points: Vec<(String, Command)>,
) -> Vec<(String, Command)> {
    let lesson = cruise(network);
    let known = points.iter().any(|(_, command)| *command == lesson);
    let lesson = (!known).then(|| (say::lesson().to_string(), lesson));
    points.into_iter().chain(lesson).collect()
}

/// The map of a car at one command.
///
/// # Errors
/// The healthy car does not run there.
pub fn map(cars: &Comparison, name: &str, command: Command) -> Result<Map, Failure> {
    let whole = &cars.network;
    let healthy = cars.learnt(false);
    let sound = (whole.healthy()).with(cars.command(command, false));
    let foot = steady(&sound, &State::from(sound.start()))?.state;
    let mut ray = Ray::new(whole, healthy, [(command, Some(foot))]);
    let mut mapped = Mapped {
        jumps: Vec::new(),
        curves: Vec::new(),
    };
    mapped.trace(
        &mut ray,
        whole,
        Place {
            at: 0.0,
            state: foot,
        },
    );
    let grown = ray.growing(whole, 0);
    let top = grown.last().map(|(_, spot)| spot.clone());
    mapped.leap(&mut ray, whole, &grown, true);
    if matches!(top, Some(Spot::Runs { .. })) {
        let back = ray.mended(whole, 0);
        mapped.leap(&mut ray, whole, &back, false);
    }
    let mut ends = Vec::new();
    let sound = cars.instead(&whole.healthy());
    for i in 1..=TRIED {
        let share = i as f64 / TRIED as f64;
        let car = ray.car(whole, share, 0);
        for history in [History::Grown, History::Sudden, History::Restarted] {
            let other = sound.otherwise(history).instead(&car);
            let at = car.with(other.command(command, true));
            let end = other.spot(command, Some(foot)).state();
            ends.push((share, history, end.map(|state| as_seen(&at, &state))));
        }
    }
    for i in 1..=TRIED {
        let share = i as f64 / TRIED as f64;
        let car = ray.car(whole, share, 0);
        for history in [History::Sudden, History::Restarted] {
            if let Ok(state) = opened_at(&car, Some(foot), history).state() {
                mapped.trace(&mut ray, whole, Place { at: share, state });
            }
        }
    }
    let curves = mapped.curves.iter().map(|places| Curve {
        places: described(&mut ray, whole, places),
    });
    Ok(Map {
        name: name.into(),
        curves: curves.collect(),
        jumps: mapped.jumps,
        ends,
    })
}

/// A map under way.
struct Mapped {
    jumps: Vec<Jump>,
    curves: Vec<Vec<Place>>,
}

impl Mapped {
    /// The curve through a place, unless it lies on one that is known.
    fn trace(&mut self, ray: &mut Ray, whole: &Network<f64>, from: Place) {
        let car = ray.car(whole, from.at, 0);
        let Some(found) = nearby(&car, &from.state) else {
            return;
        };
        let from = Place {
            state: found.state,
            ..from
        };
        let known = self.at(ray, whole, from.at);
        if known.iter().any(|state| apart(state, &from.state) < TWO) {
            return;
        }
        let mut car = |share: f64| ray.car(whole, share, 0);
        let mut down = match from.at > 0.0 {
            true => curve(&mut car, from, false),
            false => vec![from],
        };
        let up = match from.at < 1.0 {
            true => curve(&mut car, from, true),
            false => vec![from],
        };
        down.reverse();
        down.extend(up.into_iter().skip(1));
        self.curves.push(down);
    }

    /// The steady states of the known curves at a share.
    fn at(&self, ray: &mut Ray, whole: &Network<f64>, share: f64) -> Vec<State> {
        let car = ray.car(whole, share, 0);
        let mut found: Vec<State> = Vec::new();
        for places in &self.curves {
            let last = places.last().into_iter();
            let ends = places.first().into_iter().chain(last);
            let close = ends.filter(|end| (end.at - share).abs() < 0.02);
            let mut guesses: Vec<State> = close.map(|end| end.state).collect();
            for pair in places.windows(2) {
                let (a, b) = (&pair[0], &pair[1]);
                if (a.at - share) * (b.at - share) <= 0.0 && a.at != b.at {
                    let t = (share - a.at) / (b.at - a.at);
                    guesses.push(a.state + (b.state - a.state) * t);
                }
            }
            for guess in guesses {
                if let Some(root) = nearby(&car, &guess) {
                    let known = found.iter().any(|state| apart(state, &root.state) < 1e-6);
                    if !known {
                        found.push(root.state);
                    }
                }
            }
        }
        found
    }

    /// The jumps between rungs, and the curves to which they lead.
    fn leap(&mut self, ray: &mut Ray, whole: &Network<f64>, rungs: &[(f64, Spot)], growing: bool) {
        for (i, pair) in rungs.windows(2).enumerate() {
            let [(before, was), (share, is)] = [&pair[0], &pair[1]];
            let Spot::Runs { state, jumps } = was else {
                continue;
            };
            // One that creeps past a corner and goes on has not jumped.
            let rest = rungs[i + 1..].iter().find_map(|(_, spot)| spot.jumps());
            if rest == Some(*jumps) {
                continue;
            }
            let from = as_seen(&ray.car(whole, *before, 0), state);
            let to = is.state();
            if let Ok(state) = to {
                self.trace(ray, whole, Place { at: *share, state });
            }
            let car = ray.car(whole, *share, 0);
            self.jumps.push(Jump {
                share: *share,
                growing,
                from,
                to: to.map(|state| as_seen(&car, &state)),
            });
        }
    }
}

fn as_seen(car: &Network<f64>, state: &State) -> Side {
    let moment = car.evaluate(&state.data.0[0]);
    seen(car, *state, &moment)
}

/// The places of a curve with what is seen there; of many that lie close together some.
fn described(ray: &mut Ray, whole: &Network<f64>, places: &[Place]) -> Vec<Here> {
    let mut last = f64::NAN;
    let mut kept = Vec::new();
    for (i, place) in places.iter().enumerate() {
        let turns = i > 0
            && i + 1 < places.len()
            && (place.at - places[i - 1].at) * (places[i + 1].at - place.at) <= 0.0;
        let end = i == 0 || i + 1 == places.len();
        if !end && !turns && (place.at - last).abs() < KEPT {
            continue;
        }
        last = place.at;
        let car = ray.car(whole, place.at, 0);
        let fastest = growth(&car, &place.state);
        kept.push(Here {
            share: place.at,
            side: as_seen(&car, &place.state),
            growth: fastest.map_or(f64::NAN, |fastest| fastest.growth),
            swing: fastest.map_or(f64::NAN, |fastest| fastest.swing),
        });
    }
    kept
}

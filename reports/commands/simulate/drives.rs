//! What both cars do in a drive.

use crate::answer::dangers::Danger;
use crate::page::record::{WORDS, fixed};
use crate::record;
use crate::say::simulate as say;
use sim::network::{Defect, Network};
use sim::scenario::Event;
use sim::solve::Failure;
use sim::study::running::dangers;
use sim::study::running::happening::changes;
use sim::study::running::openings::{VALVES, openings, over_limit, surges};
use sim::study::running::trace::{Sample, Trace};

/// The two cars of a comparison, by name; the second only if something is wrong.
type Sides<'a, T> = Vec<(&'static str, &'a Result<T, Failure>)>;

/// Both cars.
pub fn sides<'a, T>(
    healthy: &'a Result<T, Failure>,
    faulty: Option<&'a Result<T, Failure>>,
) -> Sides<'a, T> {
    let faulty = faulty.map(|side| ("faulty", side));
    std::iter::once(("healthy", healthy))
        .chain(faulty)
        .collect()
}

record! {
    /// A trouble code that is set on the way.
    pub struct CodeSet {
        /// When.
        time_s: f64 = "time" "s" fixed(2);
        /// In which car.
        side: &'static str = "car" "" WORDS;
        /// Its number.
        code: &'static str = "code" "" WORDS;
        #[serde(skip)]
        name: String = "which" "" WORDS;
    }

    /// Something that opens, grows, closes or is mended on the way.
    pub struct Happened {
        /// When it begins.
        from_s: f64 = "from" "s" fixed(2);
        /// When it is done; the same where it comes at once.
        to_s: f64 = "to" "s" fixed(2);
        /// Leak place or fault, and its size before.
        before: String = "before" "" WORDS;
        /// The same after.
        after: String = "after" "" WORDS;
    }

    /// A valve that stands open.
    pub struct Open {
        /// Which.
        valve: &'static str = "valve" "" WORDS;
        /// In which car.
        side: &'static str = "car" "" WORDS;
        /// When it opens.
        open_s: f64 = "open from" "s" fixed(2);
        /// When it shuts; none if it is open at the end of the drive.
        shut_s: Option<f64> = "to" "s" fixed(2);
    }

    /// The engine over its speed limit, its fuel cut.
    pub struct Cut {
        /// In which car.
        side: &'static str;
        /// From when on.
        from_s: f64;
        /// Until when; none if it is so at the end of the drive.
        to_s: Option<f64>;
        /// Highest engine speed meanwhile.
        highest_rpm: f64;
    }

    /// A piece of the drive.
    pub struct Piece {
        /// When it begins.
        from_s: f64;
        /// What it is called.
        name: String;
    }
}

/// What a scenario's events do to its car.
pub fn happened(car: &Network<f64>, events: &[Event]) -> Vec<Happened> {
    let all = changes(car, events).into_iter();
    let told = |defect: &Defect, share: f64| match share {
        0.0 => say::not_there(defect.label()),
        _ => defect.words(),
    };
    let all = all.filter_map(|change| {
        let [before, after] = change.defects(car)?;
        Some(Happened {
            from_s: change.time.0,
            to_s: change.time.1,
            before: told(&before, change.share.0),
            after: told(&after, change.share.1),
        })
    });
    all.collect()
}

/// A drive, healthy and faulty.
pub struct Drives {
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// What happens on the way.
    pub events: Vec<Happened>,
    /// Length of the whole drive, s.
    pub duration: f64,
    /// Time between samples, s.
    pub interval: f64,
    /// Engine speed from which the fuel is cut, rpm.
    pub speed_limit: f64,
    /// Without leaks and faults.
    pub healthy: Result<Trace, Failure>,
    /// With them, if there are any.
    pub faulty: Option<Result<Trace, Failure>>,
    /// What is dangerous in each car.
    pub dangers: Vec<(&'static str, Vec<dangers::Danger>)>,
}

impl Drives {
    /// Both cars.
    pub fn sides(&self) -> Sides<'_, Trace> {
        sides(&self.healthy, self.faulty.as_ref())
    }

    /// Something of each car's drive, the cars one after the other.
    fn each<'a, T, I: IntoIterator<Item = T>>(
        &'a self,
        of: impl Fn(&'static str, &'a Trace) -> I,
    ) -> Vec<T> {
        let sides = self.sides().into_iter();
        let driven = sides.filter_map(|(side, trace)| Some((side, trace.as_ref().ok()?)));
        driven.flat_map(|(side, trace)| of(side, trace)).collect()
    }

    /// Trouble codes set on the way.
    pub fn codes(&self) -> Vec<CodeSet> {
        self.each(|side, trace| {
            trace.codes.iter().map(move |(time, code)| CodeSet {
                time_s: *time,
                side,
                code: code.word(),
                name: match code.reduces_torque() {
                    true => say::reduces(code.name()),
                    false => code.name().into(),
                },
            })
        })
    }

    /// What is dangerous on the way and lasts, in each car.
    pub fn dangers(&self) -> Vec<Danger> {
        let cars = self.dangers.iter();
        let all = cars.flat_map(|(side, found)| Danger::all(side, "", found));
        all.collect()
    }

    /// When each valve stands open in each car.
    pub fn openings(&self) -> Vec<Open> {
        let of = |valve: &'static _| {
            self.each(|side, trace| {
                let found = openings(&trace.samples, valve).into_iter();
                found.map(move |(open_s, shut_s)| Open {
                    valve: valve.1,
                    side,
                    open_s,
                    shut_s,
                })
            })
        };
        VALVES.iter().flat_map(of).collect()
    }

    /// When the compressor of each car is left of its surge line.
    pub fn surges(&self) -> Vec<Open> {
        self.each(|side, trace| {
            let found = surges(&trace.samples).into_iter();
            found.map(move |(open_s, shut_s)| Open {
                valve: say::SURGE,
                side,
                open_s,
                shut_s,
            })
        })
    }

    /// When the engine of each car runs over its speed limit.
    pub fn cuts(&self) -> Vec<Cut> {
        self.each(|side, trace| {
            let found = over_limit(&trace.samples, self.speed_limit).into_iter();
            found.map(move |over| Cut {
                side,
                from_s: over.from,
                to_s: over.to,
                highest_rpm: over.highest,
            })
        })
    }

    /// The piece of the drive that a sample belongs to.
    pub fn piece(&self, sample: &Sample) -> &str {
        let mut begun = self.pieces.iter().rev();
        let begun = begun.find(|piece| piece.from_s <= sample.time + 1e-9);
        begun.map_or("", |piece| &piece.name)
    }

    /// What has no answer, in words.
    pub fn failures(&self) -> Vec<String> {
        let said = |(which, trace): (&str, &Result<Trace, Failure>)| match trace {
            Err(e) => Some(format!("{which}: no steady running to start from: {e}")),
            Ok(trace) => {
                let last = trace.samples.last().map_or(0.0, |sample| sample.time);
                let why = trace.failure.as_ref()?;
                Some(format!("{which}: the drive ends after {last:.1} s: {why}"))
            }
        };
        self.sides().into_iter().filter_map(said).collect()
    }
}

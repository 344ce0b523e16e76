//! A readings file with all that it names: the vehicle, the drive log, what is in doubt of the car.

use crate::beside::{beside, read_beside};
use crate::case::vehicle;
use crate::log::{self, Log};
use crate::{InputError, Source};
use sim::network::{self, Network, Vehicle};
use sim::scenario::Mistake;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::drivable::Drivable;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::file::{Conditions, ReadingsFile};
use sim::study::judging::diagnose::from_log::Judged;
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::making::fit::Known;
use sim::study::running::condition::Condition;
use sim::study::running::dangers::Driven;
use std::path::{Path, PathBuf};

/// A log that is asked for beside the file: its path, rows a second.
pub type AskedLog<'a> = (Option<&'a Path>, Option<f64>);

/// A readings file, read and checked.
pub struct Readings {
    /// Its text, for faults found later.
    pub source: Source,
    /// What it says, what is judged of its log among the conditions.
    pub file: ReadingsFile,
    /// The car it names.
    pub vehicle: Vehicle,
    /// That car's file.
    pub car: PathBuf,
    /// How the log was read, where there is one.
    pub log: Option<Log>,
    /// What of it is judged by.
    pub judged: Option<Judged>,
    /// Its points that are no conditions.
    pub passed: Vec<Driven>,
    /// And those that are, as points that are searched for dangers.
    pub driven: Vec<Driven>,
    /// Conditions of it that the model cannot follow, and why.
    pub out: Vec<(String, String)>,
    /// What stands beside the vehicle file.
    known: Option<(Known, network::Known)>,
    /// Whether something else stands there, which the readings file does not take.
    pub not_taken: Option<network::Known>,
}

impl Readings {
    /// Reads the file, the vehicle and the log.
    ///
    /// # Errors
    /// Any of them cannot be used.
    pub fn read(path: &Path, asked: AskedLog) -> Result<Self, InputError> {
        Self::of(Source::read(path)?, asked)
    }

    /// The same of a text that came from elsewhere.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn of(source: Source, asked: AskedLog) -> Result<Self, InputError> {
        let mut file: ReadingsFile = source.parse()?;
        let log = read_log(&source, &file, asked)?;
        let car = vehicle(&source, &file.vehicle)?;
        let vehicle: Vehicle = car.parse()?;
        let joined = joined(&source, &mut file, log.as_ref(), &vehicle)?;
        // A car that was fitted to its own log is known better than one of its make; what the
        // readings file says goes before.
        let beside = read_beside(car.path())?;
        let said = file.car;
        let takes = |from| said.is_none_or(|said| said == from);
        let not_taken = beside.as_ref().map(|(_, from)| *from);
        let not_taken = not_taken.filter(|from| !takes(*from));
        let known = beside.filter(|(_, from)| takes(*from));
        let basis = known.as_ref().map_or(vehicle.known, |(_, from)| *from);
        file.car = file.car.or(Some(basis));
        Ok(Self {
            file,
            vehicle,
            car: car.path().into(),
            judged: joined.judged,
            passed: joined.passed,
            driven: joined.driven,
            out: joined.out,
            source,
            log,
            known,
            not_taken,
        })
    }

    /// The file's own fault.
    pub fn at(&self, mistake: &Mistake) -> InputError {
        self.source.error_at(&mistake.key, mistake.message.clone())
    }

    /// The healthy car in the air of the file.
    ///
    /// # Errors
    /// The file's air is none.
    pub fn network(&self) -> Result<Network<f64>, InputError> {
        let network = self.file.network(self.vehicle.clone());
        network.map_err(|m| self.at(&m))
    }

    /// What is in doubt about the car.
    ///
    /// # Errors
    /// What stands beside the vehicle file is none of this car's.
    pub fn doubt(&self) -> Result<CarDoubt, InputError> {
        let network = self.network()?;
        let Some((known, from)) = &self.known else {
            return Ok(self.file.doubt(&network));
        };
        let other = match from {
            network::Known::Estimated => CarDoubt::of_a_plate(&network),
            _ => CarDoubt::usual(&network, 1.0),
        };
        known.over(&network, &other).map_err(|message| {
            let message = format!("{}: {message}", beside(&self.car).display());
            self.source.error_at("vehicle", message)
        })
    }

    /// Leaves only the few stretches of a log by which a first look is made, and gives the whole; none where that
    /// is little more.
    pub fn narrow(&mut self) -> Option<Whole> {
        let judged = self.judged.as_mut()?;
        let telling = judged.telling();
        if telling.is_empty() || judged.conditions.len() < LITTLE * telling.len() {
            return None;
        }
        let whole = Whole {
            conditions: self.file.condition.clone(),
            judged: judged.clone(),
        };
        let own = self.file.condition.len() - judged.conditions.len();
        judged.keep(&telling);
        self.file.condition.truncate(own);
        self.file
            .condition
            .extend(judged.conditions.iter().cloned());
        Some(whole)
    }

    /// How many stretches and moments of its log are judged.
    pub fn stretches(&self) -> usize {
        self.judged.as_ref().map_or(0, |j| j.conditions.len())
    }

    /// Undoes [`narrow`](Self::narrow).
    pub fn widen(&mut self, whole: Whole) {
        self.file.condition = whole.conditions;
        self.judged = Some(whole.judged);
    }

    /// Predictions and evidence, `more` conditions predicted last; `tried` is told how far it is.
    ///
    /// # Errors
    /// As [`ReadingsFile::prepared_with`].
    pub fn prepared(
        &self,
        doubt: CarDoubt,
        beside: Beside,
        more: &[Condition],
        tried: &mut dyn FnMut(usize, usize),
    ) -> Result<(Ladders, Evidence), InputError> {
        let doubt = |_: &Network<f64>| Ok(doubt);
        let prepared = (self.file).prepared_with(self.vehicle.clone(), doubt, beside, more, tried);
        prepared.map_err(|m| self.at(&m))
    }
}

/// What a first look leaves out.
pub struct Whole {
    conditions: Conditions,
    judged: Judged,
}

impl Whole {
    /// How many stretches and moments of the log are judged.
    pub fn stretches(&self) -> usize {
        self.judged.conditions.len()
    }
}

/// Times the stretches of a first look from which the whole takes so much longer that one is made (own choice).
const LITTLE: usize = 2;

/// What a log adds to a file.
#[derive(Default)]
struct Joined {
    judged: Option<Judged>,
    passed: Vec<Driven>,
    driven: Vec<Driven>,
    out: Vec<(String, String)>,
}

/// Puts what is judged of a log among the conditions of the file.
fn joined(
    source: &Source,
    file: &mut ReadingsFile,
    log: Option<&Log>,
    vehicle: &Vehicle,
) -> Result<Joined, InputError> {
    let Some(log) = log else {
        return Ok(Joined::default());
    };
    let own = file.condition.len();
    let mut judged = log.drive().judged();
    file.condition.extend(judged.conditions.iter().cloned());
    file.ambient.pressure = file.ambient.pressure.or(Some(log.ambient));
    let all = file.condition.len();
    let found = file.drivable(vehicle, own..all);
    let Drivable { out, driven } = found.map_err(|m| source.error_at(&m.key, m.message))?;
    judged.without(&out);
    Ok(Joined {
        judged: Some(judged),
        passed: log.drive().passed(),
        driven,
        out,
    })
}

/// The log that the file names, or the one given instead; read as the file says.
fn read_log(
    source: &Source,
    readings: &ReadingsFile,
    (given, interval): AskedLog,
) -> Result<Option<Log>, InputError> {
    let named = readings.log.as_ref();
    let folder = source.path().parent().unwrap_or(Path::new(""));
    let file = named.and_then(|named| named.file.as_ref());
    let path = given
        .map(PathBuf::from)
        .or(file.map(|file| folder.join(file)));
    let Some(path) = path else {
        let missing = "which log? give its `file`, or --log";
        return match (named, interval) {
            (Some(_), _) => Err(source.error_at("log", missing)),
            (None, Some(_)) => {
                let message =
                    "--samples-per-second is said of a log, and there is none: give --log";
                Err(InputError::new(source.path(), message))
            }
            (None, None) => Ok(None),
        };
    };
    let mut mapping = named.cloned().unwrap_or_default();
    mapping.interval = interval.or(mapping.interval);
    // The air that the readings were taken in is that of their log.
    mapping.ambient = mapping.ambient.or(readings.ambient.pressure);
    Ok(Some(log::read(&path, &mapping)?.judged(&path)?))
}

/// The readings of another car, judged by `vehicle`, with what was passed in its log.
///
/// # Errors
/// The file or its log cannot be used.
pub(crate) fn record(
    path: &Path,
    vehicle: &Vehicle,
) -> Result<(ReadingsFile, Vec<Driven>), InputError> {
    let source = Source::read(path)?;
    let mut file: ReadingsFile = source.parse()?;
    let log = read_log(&source, &file, (None, None))?;
    let joined = joined(&source, &mut file, log.as_ref(), vehicle)?;
    if file.title.is_empty() {
        file.title = path.display().to_string();
    }
    Ok((file, joined.passed))
}

//! `falseair twin add`.

use crate::answer::write::OutFolder;
use crate::answer::written::short_file;
use crate::answer::{Answer, Answers, Form, Plain, SchemaOf, Trouble, schema};
use crate::commands::twin::{Driven, FOLDER, readings};
use crate::input::log;
use crate::input::readings::Readings;
use crate::input::{InputError, Source};
use crate::page::{Block, Line, Page, Section};
use crate::say::twin as say;
use schemars::JsonSchema;
use serde::Serialize;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::study::judging::diagnose::whose::ThisCar;
use sim::units::round;
use std::fs::canonicalize;
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  falseair twin add scenarios/readings/healthy-car.toml --name anna \\
      --date 2026-05-03
  falseair twin add --vehicle my-car.toml --log drive.csv --name anna \\
      --make \"1.6 hatchback\" --date 2026-05-03

The car must be healthy: readings that show a danger or a fault, and set codes,
are refused unless you say why they are healthy all the same. The file is plain
text, FOLDER/MAKE/NAME/DATE.toml. Add one after every service and every repair.

Exit codes: 0 kept, 2 input that cannot be used, or that is no healthy car's.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("twin-add", schema::<Added>);

/// Options of `twin add`.
#[derive(Debug, clap::Args)]
pub struct Add {
    /// Readings file of the car while healthy; its `[log]` may name a drive log.
    #[arg(required_unless_present = "vehicle", conflicts_with = "vehicle")]
    pub readings: Option<PathBuf>,
    /// Vehicle file, where there is a log and no readings file.
    #[arg(long, value_name = "CAR.toml", requires = "log")]
    pub vehicle: Option<PathBuf>,
    /// A drive log, instead of the one that the file names, or beside its conditions.
    #[arg(long, value_name = "LOG.csv")]
    pub log: Option<PathBuf>,
    /// Rows of the log per second, where no column of it holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = log::rate)]
    pub samples_per_second: Option<f64>,
    /// What this very car is called, the same each time.
    #[arg(long)]
    pub name: Option<String>,
    /// Make or type, the same word for all its sisters [default: the name in the vehicle file].
    #[arg(long, value_name = "WORD")]
    pub make: Option<String>,
    /// Day on which it was read, as 2026-05-03.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<String>,
    /// Why readings that show a danger or a fault are those of a healthy car all the same.
    #[arg(long, value_name = "REASON")]
    pub although: Option<String>,
    /// Folder of healthy cars.
    #[arg(long, value_name = "FOLDER", default_value = FOLDER)]
    pub folder: OutFolder,
    /// Form of the answer.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
    /// All of the answer: nothing is left out or folded away.
    #[arg(long)]
    pub full: bool,
}

/// A healthy car that was kept.
#[derive(Serialize, JsonSchema)]
pub(super) struct Added {
    /// Its file.
    file: String,
    name: String,
    make: String,
    date: String,
    /// Names of the conditions that it holds.
    conditions: Vec<String>,
    /// How many readings.
    readings: usize,
    /// What it can be judged beside.
    good_for: Vec<&'static str>,
    /// What was found of it.
    says: String,
    /// Why readings that are not a healthy car's are kept all the same.
    although: Option<String>,
    #[serde(skip)]
    folder: String,
}

/// Why readings are not those of a healthy car: where it stands, and what.
type Reason = (String, String);

pub(super) fn run(options: &Add) -> Result<Answer, Trouble> {
    let source = match (&options.readings, &options.vehicle) {
        (Some(file), _) => Source::read(file)?,
        (None, Some(vehicle)) => {
            let named = toml::Value::String(vehicle.display().to_string());
            Source::from_text(Path::new("command line"), &format!("vehicle = {named}\n"))
        }
        (None, None) => return Err(Trouble::Other(say::NOTHING.into())),
    };
    let asked = (options.log.as_deref(), options.samples_per_second);
    let mut read = Readings::of(source, asked)?;
    let who = whose(options, &read)?;
    let (says, reasons) = judged(&mut read)?;
    if let (Some((key, _)), None) = (reasons.first(), &who.although) {
        let all: Vec<&str> = reasons.iter().map(|(_, why)| why.as_str()).collect();
        let message = say::refused(all.join("; "));
        return Err(read.source.error_at(key, message).into());
    }
    // What needs no excuse has none.
    let although = who.although.clone().filter(|_| !reasons.is_empty());
    let who = ThisCar { although, ..who };
    let [name, make, date] =
        [&who.name, &who.make, &who.date].map(|said| said.clone().unwrap_or_default());
    let folder = options.folder.within(plain(&make)).within(plain(&name));
    let file = kept(&read, &who, &folder);
    let text = short_file(&file, say::HEAD);
    let place = format!("{date}.toml");
    let added = Added {
        file: folder.join(&place).display().to_string(),
        conditions: file.condition.iter().map(|c| c.name.clone()).collect(),
        readings: readings(&file),
        good_for: Driven::all(&file)
            .into_iter()
            .map(Driven::good_for)
            .collect(),
        says: match &who.although {
            Some(why) => say::kept_although(why),
            None => says,
        },
        although: who.although,
        folder: options.folder.display().to_string(),
        name,
        make,
        date,
    };
    let text = [folder.made(), folder.holding(place, text)];
    Ok(Answer::given(
        options.format.whole(&added, options.full)?,
        None,
        Vec::new(),
    )
    .with(text))
}

/// Whose readings they are, by the options and the file.
fn whose(options: &Add, read: &Readings) -> Result<ThisCar, InputError> {
    let said = read.file.this_car.clone();
    let of = |option: &Option<String>, key: fn(&ThisCar) -> &Option<String>| {
        let said = said.as_ref().and_then(|who| key(who).clone());
        option.clone().or(said)
    };
    let at = |key: &str, message: String| {
        let key = format!("this_car.{key}");
        read.source.error_at(&key, message)
    };
    let name = of(&options.name, |who| &who.name);
    let name = name.ok_or_else(|| at("name", say::NO_NAME.into()))?;
    let make = of(&options.make, |who| &who.make).unwrap_or_else(|| read.vehicle.name.clone());
    for (key, said) in [("name", &name), ("make", &make)] {
        if plain(said).is_empty() {
            return Err(at(key, say::no_letters(said)));
        }
    }
    let date = of(&options.date, |who| &who.date);
    let date = date.ok_or_else(|| at("date", say::NO_DATE.into()))?;
    if !is_day(&date) {
        return Err(at("date", say::wrong_date(&date)));
    }
    Ok(ThisCar {
        name: Some(name),
        make: Some(make),
        date: Some(date),
        although: of(&options.although, |who| &who.although),
        holds: said.as_ref().map_or(1.0, |who| who.holds),
    })
}

fn day(text: &str) -> Result<String, String> {
    match is_day(text) {
        true => Ok(text.into()),
        false => Err(say::wrong_date(text)),
    }
}

/// Whether it is a day of the calendar, written 2026-05-03.
fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return false;
    };
    let digits =
        |part: &str, count| part.len() == count && part.bytes().all(|b| b.is_ascii_digit());
    if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
        return false;
    }
    let [year, month, day] = [year, month, day].map(|part| part.parse::<u32>().unwrap_or(0));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let most = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=most).contains(&day)
}

/// A name as a file or folder has it on any disk: letters and digits, all else a dash.
fn plain(name: &str) -> String {
    let letters = name.to_lowercase();
    let parts = letters.split(|c: char| !c.is_alphanumeric());
    let parts: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
    parts.join("-").chars().take(60).collect()
}

/// What is found of the readings, and why they are not a healthy car's.
fn judged(read: &mut Readings) -> Result<(String, Vec<Reason>), Trouble> {
    let doubt = read.doubt()?;
    let beside = Beside {
        passed: std::mem::take(&mut read.passed),
        ..Beside::default()
    };
    let (ladders, evidence) = read.prepared(doubt, beside, &[], &mut |_, _| {})?;
    let found = Diagnosis::considered(&ladders, &evidence, false);
    let found = found.map_err(|why| Trouble::Other(why.to_string()))?;
    let share = format!("{:.0} %", 100.0 * found.sound());
    let says = match found.verdict {
        Verdict::NoFaultShown => say::healthy(share),
        _ => say::undecided(share),
    };
    Ok((says, reasons(&ladders, &evidence, &found)))
}

fn reasons(ladders: &Ladders, evidence: &Evidence, found: &Diagnosis) -> Vec<Reason> {
    let at = |name: Option<&str>| {
        let place = ladders
            .conditions
            .iter()
            .position(|c| Some(c.name.as_str()) == name);
        place.map_or("condition".into(), |c| format!("condition.{c}.readings"))
    };
    let dangers = found.dangers.iter();
    let mut all: Vec<Reason> = dangers
        .map(|danger| (at(danger.at.as_deref()), say::danger(danger.words())))
        .collect();
    all.extend(evidence.not_running.iter().map(|c| {
        let name = &ladders.conditions[*c].name;
        (format!("condition.{c}.runs"), say::not_running(name))
    }));
    let set = evidence.codes.iter().filter(|(_, set)| *set);
    let set: Vec<&str> = set.map(|(code, _)| code.word()).collect();
    if !set.is_empty() {
        all.push(("codes".into(), say::codes(set.join(", "))));
    }
    let group = found.group(0).into_iter();
    let group: Vec<_> = group.map(|i| &found.hypotheses[i]).collect();
    match found.verdict {
        Verdict::Fault | Verdict::OneOfSeveral => {
            let share: f64 = group.iter().map(|h| h.probability).sum();
            let names: Vec<String> = group.iter().map(|h| h.name(ladders)).collect();
            let says = format!("{} ({:.0} %)", names.join("; "), 100.0 * share);
            all.push(("condition".into(), say::fault(says)));
        }
        Verdict::NothingFits => {
            let fit = group.first().map_or(0.0, |first| first.fit);
            let share = format!("{} %", round(100.0 * fit, 1));
            all.push(("condition".into(), say::no_car(share)));
        }
        Verdict::NoFaultShown | Verdict::Undecided => {}
    }
    all
}

/// The file that is kept: what was read, and nothing that leads elsewhere but the vehicle.
fn kept(read: &Readings, who: &ThisCar, folder: &OutFolder) -> ReadingsFile {
    let said = |text: &Option<String>| text.clone().unwrap_or_default();
    let title = match read.file.title.is_empty() {
        true => say::title(said(&who.name), said(&who.date)),
        false => read.file.title.clone(),
    };
    ReadingsFile {
        title,
        vehicle: between(folder, &read.car),
        this_car: Some(who.clone()),
        twins: None,
        log: None,
        baseline: Vec::new(),
        ..read.file.clone()
    }
}

/// The path of a file from a folder that need not be there yet; the whole path where the two have
/// nothing in common.
fn between(folder: &Path, file: &Path) -> String {
    let Ok(file) = canonicalize(file) else {
        return file.display().to_string();
    };
    // The nearest folder above that is there, and what is to be made below it.
    let mut there = folder;
    let mut below = PathBuf::new();
    let whole = loop {
        let place = if there.as_os_str().is_empty() {
            Path::new(".")
        } else {
            there
        };
        if let Ok(whole) = canonicalize(place) {
            break whole.join(&below);
        }
        let (Some(name), Some(above)) = (there.file_name(), there.parent()) else {
            return file.display().to_string();
        };
        below = Path::new(name).join(&below);
        there = above;
    };
    let same = whole.components().zip(file.components());
    let same = same.take_while(|(a, b)| a == b).count();
    if same <= 1 {
        return file.display().to_string();
    }
    let up = whole.components().skip(same).map(|_| "..");
    let down = file.components().skip(same);
    let down = down.map(|part| part.as_os_str().to_string_lossy().into_owned());
    let parts: Vec<String> = up.map(String::from).chain(down).collect();
    parts.join("/")
}

impl Answers for Added {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        let lead = vec![
            Line::new("car", format!("{}, {}", self.name, self.make)),
            Line::new("read on", &self.date),
            Line::new("kept in", &self.file),
        ];
        let held = format!("{} readings: {}", self.readings, self.conditions.join(", "));
        let mut blocks = vec![Block::Says(crate::text::words::sentence(&self.says))];
        blocks.push(Block::Labelled(Line::new("holds", held)));
        blocks.extend(Block::list(
            self.good_for.iter().map(|use_| use_.to_string()),
        ));
        blocks.push(Block::Words(say::use_of(&self.folder)));
        Page {
            title: say::ADDED.into(),
            lead,
            sections: vec![Section::new("", blocks)],
            notes: Vec::new(),
            ..Page::default()
        }
    }
}

//! `falseair sweep`: many cases of one scenario, in a folder that can be gone on with.
//!
//! Each chunk of cases is written to a file of its own as soon as it is done; when all
//! are there the results are put together from them. Killed and started again, the
//! program does what is left, and the results are the same to the byte.

mod ahead;
mod arrow;
mod aside;
mod assemble;
mod cases;
mod checkpoint;
mod columns;
mod folder;
mod join;
mod manifest;
mod page;
mod parquet;
mod progress;
mod summary;

use crate::answer::dangers::{Danger, endangered};
use crate::answer::door::{self, write_beside};
use crate::answer::options::Threads;
use crate::answer::write::OutFolder;
use crate::answer::{Answer, Answers, Pictures, SchemaOf, Trouble, json, schema, unfolded};
use crate::input::case::vehicle;
use crate::input::files;
use crate::input::{InputError, Source};
use crate::page::{Block, Page, Section};
use crate::say::sweep as say;
use cases::Cases as CaseFile;
use clap::{Subcommand, ValueEnum, ValueHint};
use columns::Table;
use folder::{Held, enter, unusable};
pub use join::Join;
use join::joined;
use manifest::{Manifest, other};
use progress::Progress;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use sim::study::asking::sweep::{Plan, Study, Sweep as Cases};
use sim::study::running::dangers::Hazard;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
pub use summary::Summary;

/// Where the chunks stand in a folder.
const CHUNKS: &str = "chunks";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("sweep", schema::<Summary>);

/// Options of `sweep`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Sweep {
    /// File that names the car, leaks, operating points or a drive, and what varies.
    #[arg(required = true)]
    pub study: Option<PathBuf>,
    /// Folder for the results; run again with the same folder, the sweep continues.
    #[arg(long, value_name = "FOLDER", required = true, value_hint = ValueHint::DirPath)]
    pub out: Option<OutFolder>,
    /// Table of cases, CSV or Parquet: one column per key, named like an axis, with its unit as in
    /// `ambient.temperature [degC]`; one row per case. Beside axes: every row with every
    /// combination of them.
    #[arg(long, value_name = "FILE")]
    pub cases: Option<PathBuf>,
    /// Only say how many cases, how long, how many bytes; nothing is written.
    #[arg(long, conflicts_with_all = ["report", "svg", "png"])]
    pub dry_run: bool,
    /// Threads.
    #[command(flatten)]
    pub threads: Threads,
    /// Only the K-th of N equal shares, to be joined later.
    #[arg(long, value_name = "K/N", value_parser = share)]
    pub part: Option<(u64, u64)>,
    /// Forms of the results.
    #[arg(long, value_enum, value_delimiter = ',', default_values_t = ResultFormat::ALL)]
    pub format: Vec<ResultFormat>,
    /// All of the answer: nothing is left out or folded away.
    #[arg(long, global = true)]
    pub full: bool,
    /// Page and pictures.
    #[command(flatten)]
    pub pictures: Pictures,
    /// Put shares together.
    #[command(subcommand)]
    pub join: Option<SweepCommand>,
}

/// What else `sweep` can do.
#[derive(Debug, Subcommand)]
pub enum SweepCommand {
    /// Check the shares of a sweep and put them together.
    Join(Join),
}

/// Form of the results of a sweep.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ResultFormat {
    /// For data tools: typed columns, units in the metadata.
    Parquet,
    /// For spreadsheets.
    Csv,
}

impl ResultFormat {
    /// Both.
    pub const ALL: [ResultFormat; 2] = [ResultFormat::Parquet, ResultFormat::Csv];

    /// Its file in the folder.
    pub fn file(self) -> &'static str {
        match self {
            ResultFormat::Parquet => "results.parquet",
            ResultFormat::Csv => "results.csv",
        }
    }
}

fn share(text: &str) -> Result<(u64, u64), String> {
    match manifest::part(text) {
        Some((k, n)) if n <= 100_000 => Ok((k, n)),
        _ => Err("a share is written K/N, as in 2/8: the second of eight".into()),
    }
}

/// Answers `falseair sweep` and `falseair sweep join`.
///
/// # Errors
/// Input that cannot be used; a folder of another study; a file that cannot be written.
pub fn sweep(options: &Sweep) -> Result<Answer, Trouble> {
    if options.dry_run
        && let Some(study) = &options.study
    {
        let page = ahead::ahead(study, options)?;
        return Ok(Answer::given(page.printed(), None, Vec::new()));
    }
    let (out, format, pictures) = match (&options.join, &options.out) {
        (Some(SweepCommand::Join(join)), _) => (&join.out, &join.format, &join.pictures),
        (None, Some(out)) => (out, &options.format, &options.pictures),
        _ => return Err(other("a study file and --out are needed".into())),
    };
    if pictures.asked() {
        drawable(format, options.part)?;
    }
    let said = match (&options.join, &options.study) {
        (Some(SweepCommand::Join(join)), _) => joined(join)?,
        (None, Some(study)) => run(study, out, options)?,
        // The command line asks for it.
        _ => return Err(other("a study file is needed".into())),
    };
    let summary = summarised(out)?;
    let drawn = pictures.drawn(|| {
        let summary = summary.ok_or_else(|| other("the folder has lost its results".into()))?;
        Ok(summary.said())
    })?;
    let said = if options.full { unfolded(said) } else { said };
    Ok(Answer::given(said.printed(), None, Vec::new()).with(drawn))
}

/// Checks that the folder's own files replace nothing that was read, and that page and pictures
/// replace none of them; the folder is written into long before the page is.
fn apart(out: &Path, pictures: &Pictures) -> Result<(), Trouble> {
    let own = [CHUNKS, manifest::NAME, summary::NAME];
    let own = own
        .into_iter()
        .chain(manifest::TEXTS)
        .chain(ResultFormat::ALL.map(ResultFormat::file));
    let own: Vec<PathBuf> = own.map(|name| out.join(name)).collect();
    let mut paths: Vec<&Path> = own.iter().map(PathBuf::as_path).collect();
    paths.extend(pictures.report.as_deref());
    let folders: Vec<&Path> = (pictures.svg.iter().chain(&pictures.png))
        .map(|folder| &**folder)
        .collect();
    files::apart(&paths, &folders).map_err(other)
}

/// Whether a page can be made of what is asked for.
fn drawable(formats: &[ResultFormat], part: Option<(u64, u64)>) -> Result<(), Trouble> {
    if part.is_some_and(|(_, n)| n > 1) {
        return Err(other(
            "a share has no page: draw it when the shares are joined, with \
             `falseair sweep join ... --report FILE.html`"
                .into(),
        ));
    }
    match formats.contains(&ResultFormat::Csv) {
        true => Ok(()),
        false => Err(other(
            "a page is made from the CSV results: add `csv` to --format".into(),
        )),
    }
}

/// What the rows of a finished sweep come to, left beside the results; none of a share, or where
/// there are no CSV results to make it from.
fn summarised(out: &Path) -> Result<Option<Summary>, Trouble> {
    let manifest = Manifest::read(out)?;
    let manifest = manifest.ok_or_else(|| other("the folder has lost its manifest".into()))?;
    let csv = ResultFormat::Csv.file();
    if manifest.part != "1/1" || !manifest.files.contains_key(csv) {
        return Ok(None);
    }
    let summary = summary::summary(&out.join(csv), &manifest)?;
    let path = out.join(summary::NAME);
    write_beside(&path, json(&summary)?.as_bytes()).map_err(|e| other(e.to_string()))?;
    Ok(Some(summary))
}

/// What a sweep is made from.
struct Made {
    study: Study,
    plan: Plan,
    /// SHA-256 of all files.
    sha256: String,
    /// The study's and the car's.
    texts: [String; 2],
}

/// Reads a study, the car it names, and a table of cases.
///
/// # Errors
/// One of the files cannot be used.
fn read(path: &Path, cases: Option<&Path>) -> Result<Made, Trouble> {
    let source = Source::read(path)?;
    let study: Study = source.parse()?;
    let car = vehicle(&source, &study.vehicle)?;
    let vehicle = car.parse()?;
    let cases = cases.map(CaseFile::read).transpose()?;
    let mut hash = Sha256::new();
    let texts = [source.text(), car.text()];
    let table = cases.iter().map(|cases| &cases.bytes[..]);
    for bytes in texts.iter().map(|text| text.as_bytes()).chain(table) {
        hash.update((bytes.len() as u64).to_le_bytes());
        hash.update(bytes);
    }
    let (table, heads) = cases.map(CaseFile::parts).unzip();
    let plan = Plan::with(&study, vehicle, table).map_err(|m| {
        let column = m.key.strip_prefix("cases.").and_then(|n| n.parse().ok());
        match (&heads, column) {
            (Some(heads), Some(column)) => heads.error(column, &m.message),
            _ => source.error_at(&m.key, m.message),
        }
    });
    Ok(Made {
        plan: plan.map_err(|e: InputError| e)?,
        sha256: checkpoint::hex(&hash.finalize()),
        texts: texts.map(str::to_string),
        study,
    })
}

fn run(study_path: &Path, out: &Path, options: &Sweep) -> Result<Page, Trouble> {
    let Made {
        study,
        plan,
        sha256,
        texts,
    } = read(study_path, options.cases.as_deref())?;
    folder::ours_or_empty(out)?;
    apart(out, &options.pictures)?;
    let table = Table::new(&plan);
    let (k, n) = options.part.unwrap_or((1, 1));
    let wanted = Manifest {
        title: study.title.clone(),
        version: env!("CARGO_PKG_VERSION").into(),
        input_sha256: sha256,
        sampling: match options.cases {
            Some(_) => "table".into(),
            None => study.sampling.word().into(),
        },
        seed: study.seed as u64,
        cases: plan.cases(),
        rows: plan.cases() * plan.rows(),
        chunk_cases: plan.chunk_size(),
        chunks: plan.chunks(),
        part: format!("{k}/{n}"),
        complete: false,
        answered: None,
        failures: BTreeMap::new(),
        dangers: BTreeMap::new(),
        files: BTreeMap::new(),
        columns: table.columns.clone(),
    };
    let _held = Held::take(out)?;
    let Some(mut manifest) = enter(out, wanted, &options.format)? else {
        return Ok(finished(out, &Manifest::read(out)?, say::FINISHED_BEFORE));
    };
    manifest::keep(out, &texts)?;
    let chunks = out.join(CHUNKS);
    door::own_folder(&chunks).map_err(|e| unusable(&chunks, &e))?;
    let pool = options.threads.pool()?;
    let mine: Vec<u64> = (k - 1..plan.chunks()).step_by(n as usize).collect();
    pool.install(|| compute(&plan, &table, &manifest, &mine, &chunks))?;
    if n == 1 {
        let whole = (out.to_path_buf(), (1, 1));
        assemble::assemble(out, &[whole], &options.format, &mut manifest)?;
    }
    manifest.complete = true;
    manifest.write(out)?;
    if n == 1 {
        // The results hold all of it.
        door::clear(&chunks).map_err(|e| unusable(&chunks, &e))?;
    }
    Ok(finished(out, &Some(manifest), say::FINISHED))
}

/// Computes and writes the chunks that are not there yet.
fn compute(
    plan: &Plan,
    table: &Table,
    manifest: &Manifest,
    mine: &[u64],
    folder: &Path,
) -> Result<(), Trouble> {
    let study = manifest.study();
    let there = |chunk: u64| checkpoint::read(folder, &study, chunk, manifest.rows_of(chunk));
    let missing = mine.par_iter().filter_map(|chunk| match there(*chunk) {
        Ok(Some(_)) => None,
        Ok(None) => Some(Ok(*chunk)),
        Err(e) => Some(Err(unusable(&checkpoint::path(folder, *chunk), &e))),
    });
    let missing: Vec<u64> = missing.collect::<Result<_, _>>()?;
    if missing.is_empty() {
        return Ok(());
    }
    let count = |chunks: &[u64]| chunks.iter().map(|c| manifest.cases_of(*c)).sum::<u64>();
    let (all, left) = (count(mine), count(&missing));
    let progress = Progress::new(all, all - left);
    let cases = Cases::new(plan);
    let done = missing.par_iter().try_for_each(|chunk| {
        let mut out = ::csv::Writer::from_writer(Vec::new());
        let (mut rows, mut last, mut trouble) = (0, None, Ok(()));
        cases.chunk(*chunk, &mut |row| {
            rows += 1;
            if last.replace(row.case).is_some_and(|last| last != row.case) {
                progress.tick();
            }
            if trouble.is_ok() {
                trouble = out.write_record(table.cells(&row));
            }
        });
        progress.tick();
        trouble.map_err(|e| other(e.to_string()))?;
        let body = out.into_inner().map_err(|e| other(e.to_string()))?;
        let written = checkpoint::write(folder, &study, *chunk, rows, &body);
        written.map_err(|e| other(format!("{e}\n{KEPT}")))
    });
    progress.end();
    done
}

const KEPT: &str = "what was finished is kept: the same command goes on from there";

/// What is said at the end.
fn finished(out: &Path, manifest: &Option<Manifest>, how: &str) -> Page {
    let Some(manifest) = manifest else {
        return Page::default();
    };
    let (part, shown) = (&manifest.part, out.display());
    let (share, failures) = match part.as_str() {
        "1/1" => (
            say::all(how, manifest.cases, manifest.rows, shown),
            &manifest.failures,
        ),
        part => {
            let none = manifest.part_of().is_some_and(|(k, _)| k > manifest.chunks);
            let (cases, chunks) = (manifest.chunk_cases, manifest.chunks);
            let empty = say::no_cases(chunks, cases);
            let share = say::share(part, how, shown);
            let said = if none { share + ". " + &empty } else { share };
            (said, &BTreeMap::new())
        }
    };
    let failures = failures.iter();
    let failures = failures.map(|(kind, count)| say::unanswered(count, kind.replace('_', " ")));
    let blocks = vec![Block::Words(share), Block::List(failures.collect())];
    let page = Page {
        title: manifest.title.clone(),
        sections: vec![Section::new("", blocks)],
        ..Page::default()
    };
    endangered(page, &dangers(manifest))
}

/// Dangers among the rows, each kind with how many rows have it.
fn dangers(manifest: &Manifest) -> Vec<Danger> {
    let all = Hazard::all().filter_map(|hazard| {
        let rows = manifest.dangers.get(hazard.word())?;
        let rows = say::of_rows(rows, manifest.rows);
        Some(Danger::brought(hazard, &[rows]))
    });
    all.collect()
}

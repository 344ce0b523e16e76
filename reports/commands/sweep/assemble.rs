//! From the chunks to the final files, one chunk at a time in memory.

use crate::answer::Trouble;
use crate::answer::csv::rows;
use crate::answer::door::{self, Part, reason};
use crate::commands::sweep::checkpoint::hex;
use crate::commands::sweep::columns::answer_column;
use crate::commands::sweep::manifest::{Manifest, other};
use crate::commands::sweep::parquet::ParquetRows;
use crate::commands::sweep::{CHUNKS, ResultFormat, checkpoint, manifest};
use ::csv::{ReaderBuilder, StringRecord};
use ::parquet::errors::ParquetError;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// Hashes what is written on the way.
struct Hashed<W> {
    file: W,
    hash: Sha256,
}

impl<W: Write> Write for Hashed<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.file.write(bytes)?;
        self.hash.update(&bytes[..written]);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

/// Where rows of the Parquet file wait for their group.
const ASIDE: &str = ".results.parquet.rows.part";

type Out = BufWriter<Hashed<Part>>;

/// The final files while they are written.
struct Files {
    folder: PathBuf,
    csv: Option<Out>,
    parquet: Option<ParquetRows<Out>>,
}

/// A folder and which share of how many it holds.
pub type Source = (PathBuf, (u64, u64));

/// Writes the results of all chunks, found in `sources`, into `folder`, and completes
/// the manifest.
///
/// # Errors
/// A chunk that is missing or found twice with different rows; a file that cannot be
/// written. The chunks stay as they are.
pub fn assemble(
    folder: &Path,
    sources: &[Source],
    formats: &[ResultFormat],
    manifest: &mut Manifest,
) -> Result<(), Trouble> {
    let written =
        Files::begin(folder, formats, manifest).and_then(|files| fill(files, sources, manifest));
    door::unscratch(&folder.join(ASIDE));
    written
}

fn fill(mut files: Files, sources: &[Source], manifest: &mut Manifest) -> Result<(), Trouble> {
    let answer = answer_column(&manifest.columns);
    let dangers = manifest
        .columns
        .iter()
        .position(|column| column.name == "dangers");
    manifest.failures.clear();
    manifest.dangers.clear();
    let mut answered = 0;
    for chunk in 0..manifest.chunks {
        let body = found(sources, manifest, chunk)?;
        if let Some(csv) = &mut files.csv {
            let written = csv.write_all(&body);
            written.map_err(|e| unwritten(&files.folder, ResultFormat::Csv, &e))?;
        }
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .from_reader(&body[..]);
        let mut row = StringRecord::new();
        while reader
            .read_record(&mut row)
            .map_err(|e| other(e.to_string()))?
        {
            match &row[answer] {
                "ok" => answered += 1,
                kind => *manifest.failures.entry(kind.into()).or_default() += 1,
            }
            for kind in dangers.iter().flat_map(|at| row[*at].split_whitespace()) {
                *manifest.dangers.entry(kind.into()).or_default() += 1;
            }
            if let Some(parquet) = &mut files.parquet {
                let written = parquet.row(row.iter());
                written.map_err(|e| unwritten_parquet(&files.folder, &e))?;
            }
        }
    }
    manifest.answered = Some(answered);
    manifest.files.clear();
    files.finish(manifest)
}

/// The rows of a chunk, from the folders whose share they belong to; no other is asked.
fn found(sources: &[Source], manifest: &Manifest, chunk: u64) -> Result<Vec<u8>, Trouble> {
    let mut first: Option<(Vec<u8>, &Path)> = None;
    let owners = sources.iter().filter(|(_, (k, n))| chunk % n == k - 1);
    for (source, _) in owners {
        let rows = manifest.rows_of(chunk);
        let read = checkpoint::read(&source.join(CHUNKS), &manifest.study(), chunk, rows);
        let read =
            read.map_err(|e| other(format!("cannot read in `{}`: {e}", source.display())))?;
        match (&first, read) {
            (None, Some(body)) => first = Some((body, source)),
            (Some((body, from)), Some(second)) if *body != second => {
                return Err(other(format!(
                    "the folders `{}` and `{}` hold different rows of the cases from {} on: one of \
                     them was computed on another machine or altered",
                    from.display(),
                    source.display(),
                    chunk * manifest.chunk_cases
                )));
            }
            _ => {}
        }
    }
    first.map(|(body, _)| body).ok_or_else(|| {
        // Shares of different studies' cuts may be mixed; most often there is one cut.
        let of = sources.iter().map(|(_, (_, n))| *n).max().unwrap_or(1);
        let share = chunk % of + 1;
        other(format!(
            "share {share}/{of} is missing: the {} cases from {} on are in none of the folders, or \
             their file is damaged; run `falseair sweep STUDY --out FOLDER --part {share}/{of}` and \
             join again",
            manifest.cases_of(chunk),
            chunk * manifest.chunk_cases
        ))
    })
}

impl Files {
    fn begin(
        folder: &Path,
        formats: &[ResultFormat],
        manifest: &Manifest,
    ) -> Result<Self, Trouble> {
        let open = |format: ResultFormat| -> Result<Option<Out>, Trouble> {
            if !formats.contains(&format) {
                return Ok(None);
            }
            let file = Part::beside(&folder.join(format.file()));
            let file = file.map_err(|e| unwritten(folder, format, &e))?;
            let hash = Sha256::new();
            Ok(Some(BufWriter::new(Hashed { file, hash })))
        };
        let mut csv = open(ResultFormat::Csv)?;
        if let Some(csv) = &mut csv {
            let names = manifest.columns.iter().map(|column| &column.name);
            let head = rows(names, std::iter::empty::<[&str; 0]>())?;
            let written = csv.write_all(head.as_bytes());
            written.map_err(|e| unwritten(folder, ResultFormat::Csv, &e))?;
        }
        let [study, vehicle] = manifest::texts(folder);
        let notes = [
            ("title", manifest.title.clone()),
            ("falseair_version", manifest.version.clone()),
            ("input_sha256", manifest.input_sha256.clone()),
            ("sampling", manifest.sampling.clone()),
            ("seed", manifest.seed.to_string()),
            ("study", study),
            ("vehicle", vehicle),
        ];
        let parquet = open(ResultFormat::Parquet)?.map(|out| {
            let aside = door::scratch(&folder.join(ASIDE))?;
            ParquetRows::new(out, aside, &manifest.columns, &notes)
        });
        let parquet = parquet.transpose();
        Ok(Self {
            parquet: parquet.map_err(|e| unwritten_parquet(folder, &e))?,
            folder: folder.into(),
            csv,
        })
    }

    /// Puts the files in their places.
    fn finish(self, manifest: &mut Manifest) -> Result<(), Trouble> {
        let folder = self.folder;
        let parquet = self.parquet.map(ParquetRows::finish).transpose();
        let parquet = parquet.map_err(|e| unwritten_parquet(&folder, &e))?;
        for (format, out) in [
            (ResultFormat::Csv, self.csv),
            (ResultFormat::Parquet, parquet),
        ] {
            let Some(out) = out else { continue };
            let place = out.into_inner().map_err(io::IntoInnerError::into_error);
            let place = place.and_then(|Hashed { file, hash }| {
                file.place()?;
                Ok(hex(&hash.finalize()))
            });
            let hash = place.map_err(|e| unwritten(&folder, format, &e))?;
            manifest.files.insert(format.file().into(), hash);
        }
        Ok(())
    }
}

/// SHA-256 of a file, read piece by piece; none if it cannot be read.
pub fn hash_of(path: &Path) -> Option<String> {
    let mut sink = Hashed {
        file: io::sink(),
        hash: Sha256::new(),
    };
    io::copy(&mut File::open(path).ok()?, &mut sink).ok()?;
    Some(hex(&sink.hash.finalize()))
}

fn unwritten(folder: &Path, format: ResultFormat, why: &io::Error) -> Trouble {
    let path = folder.join(format.file());
    other(format!(
        "cannot write `{}`: {}",
        path.display(),
        reason(&path, why)
    ))
}

fn unwritten_parquet(folder: &Path, why: &ParquetError) -> Trouble {
    if let ParquetError::External(inner) = why
        && let Some(e) = inner.downcast_ref::<io::Error>()
    {
        return unwritten(folder, ResultFormat::Parquet, e);
    }
    let path = folder.join(ResultFormat::Parquet.file());
    other(format!("cannot write `{}`: {why}", path.display()))
}

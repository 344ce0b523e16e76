//! What a sweep would be, before it is: how many cases, how long, how many bytes.

use crate::answer::Trouble;
use crate::commands::sweep::columns::Table;
use crate::commands::sweep::manifest::other;
use crate::commands::sweep::progress::clock;
use crate::commands::sweep::{Made, ResultFormat, Sweep, read};
use crate::page::{Block, Page, Section};
use crate::say::sweep as say;
use rayon::current_num_threads;
use rayon::prelude::*;
use sim::study::asking::sweep::{Plan, Sweep as Cases};
use std::path::Path;
use std::time::{Duration, Instant};

/// Places in the study at which cases are tried, and cases at each: neighbours, as in a chunk.
const PLACES: u64 = 8;
const CASES: u64 = 8;
/// No new place is begun after this.
const PATIENCE: Duration = Duration::from_secs(5);

/// What trying a few cases showed.
struct Tried {
    cases: u64,
    /// Of one thread.
    seconds: f64,
    /// Of their rows as text.
    bytes: u64,
}

/// Says it; nothing is written.
pub(super) fn ahead(study: &Path, options: &Sweep) -> Result<Page, Trouble> {
    let Made { study, plan, .. } = read(study, options.cases.as_deref())?;
    let table = Table::new(&plan);
    let pool = options.threads.pool()?;
    let (tried, threads) = pool.install(|| (tried(&plan, &table), current_num_threads()));
    let tried = tried?;
    let (k, n) = options.part.unwrap_or((1, 1));
    let mine = (k - 1..plan.chunks()).step_by(n as usize);
    let cases: u64 = mine.map(|c| plan.chunk(c)).map(|c| c.end - c.start).sum();
    let each = |of: f64| of / tried.cases.max(1) as f64 * cases as f64;
    let rows = plan.cases() * plan.rows();
    let mut lines = vec![say::ahead(plan.cases(), rows, table.columns.len())];
    if n > 1 {
        lines.push(say::ahead_of_share(cases, format!("{k}/{n}")));
    }
    let time = clock(each(tried.seconds) / threads as f64);
    lines.push(say::ahead_time(time, tried.cases, threads));
    let text = each(tried.bytes as f64);
    let numbers = (cases * plan.rows() * table.columns.len() as u64 * 8) as f64;
    // Of numbers, Parquet keeps about eight bytes; words and what repeats take less.
    let results = |format: &ResultFormat| match format {
        ResultFormat::Csv => text,
        ResultFormat::Parquet => numbers.min(text),
    };
    let results: f64 = options.format.iter().map(results).sum();
    let (end, during) = match n {
        1 => (results, text + results),
        _ => (text, text),
    };
    lines.push(say::ahead_bytes(size(end), size(during)));
    lines.push(say::AHEAD_ONLY.into());
    let blocks = vec![Block::List(lines)];
    Ok(Page {
        title: study.title.clone(),
        sections: vec![Section::new("", blocks)],
        ..Page::default()
    })
}

fn tried(plan: &Plan, table: &Table) -> Result<Tried, Trouble> {
    let cases = Cases::new(plan);
    let start = Instant::now();
    let all = plan.cases();
    let count = PLACES.min(all.div_ceil(CASES));
    let places: Vec<u64> = (0..count).map(|i| all / count * i).collect();
    let parts = places
        .into_par_iter()
        .map(|from| -> Result<Tried, Trouble> {
            let mut out = ::csv::Writer::from_writer(Vec::new());
            let (begun, mut trouble) = (Instant::now(), Ok(()));
            let some = match from > 0 && start.elapsed() > PATIENCE {
                true => from..from,
                false => from..(from + CASES).min(all),
            };
            cases.stretch(some.clone(), &mut |row| {
                if trouble.is_ok() {
                    trouble = out.write_record(table.cells(&row));
                }
            });
            trouble.map_err(|e| other(e.to_string()))?;
            let text = out.into_inner().map_err(|e| other(e.to_string()))?;
            Ok(Tried {
                cases: some.end - some.start,
                seconds: begun.elapsed().as_secs_f64(),
                bytes: text.len() as u64,
            })
        });
    let parts: Vec<Tried> = parts.collect::<Result<_, _>>()?;
    Ok(Tried {
        cases: parts.iter().map(|part| part.cases).sum(),
        seconds: parts.iter().map(|part| part.seconds).sum(),
        bytes: parts.iter().map(|part| part.bytes).sum(),
    })
}

/// Bytes as people say them, to two digits.
fn size(bytes: f64) -> String {
    let units = ["bytes", "kB", "MB", "GB", "TB"];
    let (mut value, mut unit) = (bytes, 0);
    while value >= 1000.0 && unit + 1 < units.len() {
        (value, unit) = (value / 1000.0, unit + 1);
    }
    let decimals = usize::from(value < 10.0 && unit > 0);
    format!("{value:.decimals$} {}", units[unit])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_short() {
        assert_eq!(size(0.0), "0 bytes");
        assert_eq!(size(1234.0), "1.2 kB");
        assert_eq!(size(56.7e6), "57 MB");
        assert_eq!(size(9.96e15), "9960 TB");
    }
}

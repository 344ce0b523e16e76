//! Every command's help: found by walking from the program's own list of commands.

use super::*;

const COLUMNS: usize = 80;

fn help(path: &[String], flag: &str) -> String {
    let arguments: Vec<&str> = path.iter().map(String::as_str).chain([flag]).collect();
    let run = falseair(&arguments);
    assert!(run.status.success(), "{path:?} {flag}");
    text(&run.stdout)
}

/// Commands that a help text lists.
fn listed(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let lines = lines.take_while(|line| !line.is_empty());
    let named = lines.filter_map(|line| {
        let name = line.strip_prefix("  ")?;
        name.starts_with(|c: char| c.is_alphabetic())
            .then(|| name.split(' ').next().unwrap_or(name).to_string())
    });
    named.filter(|name| name != "help").collect()
}

fn all_commands() -> Vec<Vec<String>> {
    let mut all = vec![Vec::new()];
    let mut i = 0;
    while i < all.len() {
        for name in listed(&help(&all[i], "--help")) {
            let path = [&all[i][..], &[name]].concat();
            all.push(path);
        }
        i += 1;
    }
    all
}

/// Every help text, short and long, with its command.
pub fn every_help() -> Vec<(String, String)> {
    let all = all_commands().into_iter();
    all.flat_map(|path| {
        let name = path.join(" ");
        ["-h", "--help"].map(|flag| (format!("{name} {flag}"), help(&path, flag)))
    })
    .collect()
}

/// Nothing is wider than a terminal, and no command of an example was broken by it: each line
/// of one that goes on ends in a backslash or inside quotes.
#[test]
fn every_help_fits_80_columns() {
    let all = all_commands();
    assert!(all.len() > 15, "{all:?}");
    let mut wide = Vec::new();
    for path in &all {
        for flag in ["-h", "--help"] {
            let help = help(path, flag);
            let lines = help.lines().filter(|line| line.chars().count() > COLUMNS);
            wide.extend(lines.map(|line| format!("{path:?} {flag}: {line}")));
        }
        let help = help(path, "--help");
        let examples = help.lines().skip_while(|line| !line.starts_with("Example"));
        let examples = examples.skip(1).take_while(|line| !line.is_empty());
        let mut open = false;
        for line in examples {
            assert!(open || line.starts_with("  falseair "), "{path:?}: {line}");
            let quotes = |of: char| line.matches(of).count() % 2 == 1;
            let inside = quotes('\'') || (open && line.matches('\'').count() == 0);
            open = line.ends_with('\\') || inside && !line.ends_with('\'');
        }
    }
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

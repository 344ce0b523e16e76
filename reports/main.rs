//! The `falseair` program: exit code 0 for an answer, 1 where the physics has
//! none, 2 for input that cannot be used.

use clap::{CommandFactory, FromArgMatches};
use falseair::answer::follow::{EVERY, STOOD, follow};
use falseair::answer::write::{named, write_all};
use falseair::answer::{Answer, Trouble};
use falseair::cli::Args;
use falseair::input::colour_on;
use falseair::text::printed::Text;
use sim::spelling::visible;
use std::io::{ErrorKind, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let matches = match Args::command().try_get_matches() {
        Ok(matches) => matches,
        // Help and version are answers too.
        Err(told) if !told.use_stderr() => {
            let printed = told.print().and_then(|()| std::io::stdout().flush());
            return written(printed).unwrap_or(ExitCode::SUCCESS);
        }
        Err(e) => e.exit(),
    };
    let command = match Args::from_arg_matches(&matches) {
        Ok(arguments) => arguments.command,
        Err(e) => e.exit(),
    };
    if let Err(message) = named(&matches) {
        return complain(&message);
    }
    let answered = match command.followed() {
        None => command.run(),
        Some(log) => {
            let wait = || {
                std::thread::sleep(EVERY);
                true
            };
            let shown = |answer: &Answer| {
                if let Some(text) = &answer.terminal {
                    let _ = print(text);
                }
            };
            // The last was printed when it was new.
            follow(log, || command.run(), shown, wait).map(|answer| {
                say(STOOD);
                // It was printed when it was new.
                Answer {
                    terminal: None,
                    ..answer
                }
            })
        }
    };
    match answered {
        Ok(answer) => {
            if let Err(message) = write_all(&answer.files) {
                return complain(&message);
            }
            if let Some(end) = answer.terminal.and_then(|text| written(print(&text))) {
                return end;
            }
            for failure in &answer.failures {
                say(&format!("falseair: {}", visible(failure)));
            }
            ExitCode::from(u8::from(!answer.failures.is_empty()))
        }
        Err(Trouble::Input(e)) => {
            say(&e.render(colour_on(&std::io::stderr())));
            ExitCode::from(e.exit_code())
        }
        Err(Trouble::Other(message)) => complain(&message),
    }
}

/// With what it ends where the answer could not be printed.
fn written(printed: std::io::Result<()>) -> Option<ExitCode> {
    match printed {
        Ok(()) => None,
        // The reader has seen enough (`| head`).
        Err(e) if e.kind() == ErrorKind::BrokenPipe => Some(ExitCode::SUCCESS),
        Err(e) => Some(complain(&format!("cannot write the result: {e}"))),
    }
}

fn print(text: &Text) -> std::io::Result<()> {
    let text = match colour_on(&std::io::stdout()) {
        true => text.coloured(),
        false => text.to_string(),
    };
    let mut out = std::io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}

fn complain(message: &str) -> ExitCode {
    say(&format!("error: {}", visible(message)));
    ExitCode::from(2)
}

/// To whoever looks at the errors; where nobody can be told, the exit code still says it.
fn say(words: &str) {
    let _ = writeln!(std::io::stderr(), "{words}");
}

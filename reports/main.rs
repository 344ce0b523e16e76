//! The `falseair` program: exit code 0 for an answer, 1 where the physics has
//! none, 2 for input that cannot be used.

use clap::{CommandFactory, FromArgMatches};
use falseair::across::across;
use falseair::args::{Args, Command};
use falseair::atlas::atlas;
use falseair::classroom::classroom;
use falseair::codes::codes;
use falseair::diagnose::diagnose;
use falseair::input::colour_on;
use falseair::log::log;
use falseair::output::colour::coloured;
use falseair::output::write::{named, write_all};
use falseair::schema::schema;
use falseair::sensitivity::sensitivity;
use falseair::shell::{completions, manual};
use falseair::simulate::{Trouble, simulate};
use falseair::sweep::sweep;
use falseair::threshold::threshold;
use falseair::vehicle::vehicle;
use falseair::workshop;
use std::io::{ErrorKind, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let matches = Args::command().get_matches();
    let command = match Args::from_arg_matches(&matches) {
        Ok(arguments) => arguments.command,
        Err(e) => e.exit(),
    };
    if let Err(message) = named(&matches) {
        return complain(&message);
    }
    let answer = match command {
        Command::Simulate(options) => simulate(&options),
        Command::Atlas(options) => atlas(&options),
        Command::Codes(options) => codes(&options),
        Command::Diagnose(options) => diagnose(&options),
        Command::Schema(options) => schema(&options),
        Command::Sweep(options) => sweep(&options),
        Command::Vehicle(options) => vehicle(&options),
        Command::Sensitivity(options) => sensitivity(&options),
        Command::Across(options) => across(&options),
        Command::Threshold(options) => threshold(&options),
        Command::Log(options) => log(&options),
        Command::Workshop(command) => workshop::run(&command),
        Command::Classroom(options) => classroom(&options),
        Command::Completions(options) => completions(&options),
        Command::Manual(options) => manual(&options),
    };
    match answer {
        Ok(answer) => {
            if let Err(message) = write_all(&answer.files) {
                return complain(&message);
            }
            if let Some(text) = answer.terminal {
                let text = match colour_on(&std::io::stdout()) {
                    true => coloured(&text),
                    false => text,
                };
                let mut out = std::io::stdout().lock();
                match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
                    // The reader has seen enough (`| head`).
                    Err(e) if e.kind() == ErrorKind::BrokenPipe => return ExitCode::SUCCESS,
                    Err(e) => return complain(&format!("cannot write the result: {e}")),
                    Ok(()) => {}
                }
            }
            for failure in &answer.failures {
                eprintln!("falseair: {failure}");
            }
            ExitCode::from(u8::from(!answer.failures.is_empty()))
        }
        Err(Trouble::Input(e)) => {
            eprintln!("{}", e.render(colour_on(&std::io::stderr())));
            ExitCode::from(e.exit_code())
        }
        Err(Trouble::Other(message)) => complain(&message),
    }
}

fn complain(message: &str) -> ExitCode {
    eprintln!("error: {message}");
    ExitCode::from(2)
}

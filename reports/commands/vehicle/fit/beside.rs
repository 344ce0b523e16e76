//! The text of the file that says what is left in doubt of a fitted car.

use sim::network;
use sim::study::making::fit::Known;
use sim::units::round;
use std::fmt::Write;
use std::path::Path;

/// The text of the file.
pub(super) fn text(vehicle: &Path, known: &Known, log: &Path, before: network::Known) -> String {
    let name = |path: &Path| {
        path.file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    };
    let mut text = format!(
        "# What stays uncertain of the car in {}, fitted to {}.\n\
         # doubt: standard uncertainty over that of a car of its make.\n\
         # with: correlation with each number above.\n\n\
         vehicle = {:?}\n",
        name(vehicle),
        name(log),
        name(vehicle)
    );
    // A fit gives a car of a plate its numbers; what no number says stays as open as before.
    if before == network::Known::Estimated {
        let _ = writeln!(text, "car = \"{before}\"");
    }
    for number in &known.numbers {
        let with: Vec<String> = number.with.iter().map(|with| round(*with, 6)).collect();
        let _ = write!(
            text,
            "\n[[number]]\nkey = \"{}\"\ndoubt = {}\nwith = [{}]\n",
            number.key,
            round(number.doubt, 6),
            with.join(", ")
        );
    }
    text
}

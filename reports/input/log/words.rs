//! What the names of columns mean: plain words of the trade, and the names of SAE J1979.
//!
//! A name is understood only if every one of its words is; `boost target` is not boost.

use crate::log::names::{DIESEL, EMPTY, NAMES, Name, SAME, TIMES};
use crate::log::spell;
use crate::log::unit::{Given, Scale, datum, fits, unit};
use sim::spelling::quote;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;
use std::sync::LazyLock;

/// What a column is taken for.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Meaning {
    /// The time.
    Time(Option<Scale>),
    /// A signal, what is said of its unit, and why.
    Signal(Channel, Given, String),
    /// The same of a second bank of cylinders.
    Second(Channel, Given),
    /// Left out, and why.
    Unknown(String),
}

/// Longest name that is looked at, bytes: more is no name, and would only take time.
const LONGEST: usize = 300;

/// Most words of a name whose spelling is put right.
const MOST_WORDS: usize = 10;

/// What a column of this name (and unit, from a row of units) is taken for.
pub(super) fn meaning(name: &str, below: &str, own_log: bool) -> Meaning {
    let own = name.trim();
    if own.is_empty() {
        return Meaning::Unknown("the column has no name".into());
    }
    if own.len() > LONGEST {
        return Meaning::Unknown("no reading has so long a name".into());
    }
    if own == "time_s" {
        return Meaning::Time(unit("s").scale);
    }
    // `lambda` in another log is what its sensor reads.
    if let Some(channel) = Channel::from_key(own).filter(|_| own_log || own.contains('_')) {
        let given = unit(own_unit(channel));
        return Meaning::Signal(channel, given, "the program's own name".into());
    }
    let (tokens, inside) = parts(own);
    let row = unit(strip(below));
    let given = Given {
        scale: row.scale.or(inside.scale),
        datum: row.datum.or(inside.datum),
    };
    let pieces = pieces(&tokens);
    let set = words(&pieces);
    if let Some(time) = time(&set, given) {
        return time;
    }
    match understood(&set, given) {
        Meaning::Unknown(why) => near(&pieces, given)
            .or_else(|| second(&pieces, given))
            .unwrap_or(Meaning::Unknown(why)),
        found => found,
    }
}

/// The time, if it is called so; minutes only where they are said.
fn time(set: &[String], given: Given) -> Option<Meaning> {
    let minute = |word: &String| ["min", "minutes"].contains(&word.as_str());
    let (minutes, rest): (Vec<String>, Vec<String>) = set.iter().cloned().partition(minute);
    TIMES.iter().find(|time| same(&rest, time))?;
    let of = Dimension::Time;
    let said = given.scale.filter(|scale| scale.dimension() == Some(of));
    let minutes = (!minutes.is_empty()).then_some(Scale::Unit("min", of));
    Some(Meaning::Time(said.or(minutes)))
}

/// The same with every word put right that is near a known one; none where that is no name
/// either.
fn near(pieces: &[String], given: Given) -> Option<Meaning> {
    if pieces.len() > MOST_WORDS {
        return None;
    }
    let mut wrong = Vec::new();
    let put = pieces.iter().map(|word| match spell::right(word) {
        Some(near) => {
            wrong.push(quote(word));
            near.to_string()
        }
        None => word.clone(),
    });
    let put: Vec<String> = put.collect();
    if wrong.is_empty() {
        return None;
    }
    match understood(&words(&put), given) {
        Meaning::Signal(channel, given, why) => {
            let why = format!("{why}, but for the spelling of {}", wrong.join(" "));
            Some(Meaning::Signal(channel, given, why))
        }
        _ => None,
    }
}

/// Trims and mixture of a second bank. A second lambda may stand behind the catalyst, unless
/// its bank is said.
fn second(pieces: &[String], given: Given) -> Option<Meaning> {
    let set = words(pieces);
    let marks = ["2", "b2", "bank2", "b2s1"];
    let (found, rest): (Vec<String>, Vec<String>) =
        (set.into_iter()).partition(|word| marks.contains(&word.as_str()));
    let bank = found.iter().any(|mark| mark != "2") || pieces.iter().any(|piece| piece == "bank");
    let Meaning::Signal(channel, given, _) = understood(&rest, given) else {
        return None;
    };
    let second = match channel.key() {
        "short_trim_pct" | "long_trim_pct" => !found.is_empty(),
        "lambda_sensor" => !found.is_empty() && bank,
        _ => false,
    };
    second.then_some(Meaning::Second(channel, given))
}

/// Whether an air temperature is called so that it may be that at the meter or in the manifold.
pub(super) fn may_be_at_the_meter(name: &str) -> bool {
    if name.len() > LONGEST {
        return false;
    }
    let set = words(&pieces(&parts(name).0));
    ["intake temperature", "intake air temperature"]
        .iter()
        .any(|name| same(&set, name))
}

/// Whether a pedal or throttle is called so that another column of it goes before: one counted from
/// where it rests, a second track of the pedal, which may end half way (SAE J1979).
pub(super) fn stands_back(name: &str) -> bool {
    if name.len() > LONGEST {
        return false;
    }
    let marks = ["relative", "r", "e", "f"];
    let pieces = pieces(&parts(name).0);
    pieces.iter().any(|word| marks.contains(&word.as_str()))
}

/// Whether only a diesel has a column of this name.
pub(super) fn is_of_a_diesel(name: &str) -> bool {
    if name.len() > LONGEST {
        return false;
    }
    let pieces = pieces(&parts(name).0);
    pieces.iter().any(|word| DIESEL.contains(&word.as_str()))
}

/// The unit of a channel, as a log would write it with its datum.
fn own_unit(channel: Channel) -> &'static str {
    match (channel.unit(), channel.dimension()) {
        ("kPa", Dimension::AbsolutePressure) => "kPa abs",
        ("kPa", Dimension::GaugePressure) => "kPa gauge",
        ("psi", _) => "psi gauge",
        ("" | "g/kWh" | "deg", _) => "lambda",
        (other, _) => other,
    }
}

/// What a channel is called: the channel, the entry, the name, its words.
type Called = (Channel, &'static Name, &'static str, Vec<&'static str>);

static CALLED: LazyLock<Vec<Called>> = LazyLock::new(|| {
    let all = NAMES
        .iter()
        .filter_map(|name| Some((Channel::from_key(name.key)?, name)));
    all.flat_map(|(channel, name)| {
        let each = name.words.split('|');
        each.map(move |words| {
            let parts = words.split(' ').filter(|word| !word.is_empty());
            (channel, name, words, parts.collect())
        })
    })
    .collect()
});

/// Words shown of a name that is not understood.
const SHOWN: usize = 4;

fn understood(set: &[String], given: Given) -> Meaning {
    let mut wrong_unit = None;
    let mut nearest: Option<(usize, &str, Vec<String>)> = None;
    for (channel, name, words, theirs) in CALLED.iter() {
        let (channel, words) = (*channel, *words);
        let of = channel.dimension();
        let pressure = of == Dimension::AbsolutePressure || of == Dimension::GaugePressure;
        let said = set.iter().find_map(|word| datum(word)).filter(|_| pressure);
        let own = || set.iter().filter(|word| !pressure || datum(word).is_none());
        let hit = theirs.iter().filter(|w| own().any(|own| own == *w)).count();
        if hit < theirs.len() {
            continue;
        }
        if own().count() > hit {
            if nearest.as_ref().is_none_or(|(most, ..)| hit > *most) {
                let left = own().filter(|own| !theirs.contains(&own.as_str()));
                nearest = Some((hit, words, left.cloned().collect()));
            }
            continue;
        }
        let dimension = given.scale.and_then(Scale::dimension);
        if name.only.is_some_and(|only| dimension != Some(only)) {
            continue;
        }
        if given.scale.is_some_and(|scale| !fits(scale, channel)) {
            wrong_unit = Some(channel);
            continue;
        }
        let given = Given {
            datum: given.datum.or(said),
            ..given
        };
        return Meaning::Signal(channel, given, format!("called {}", quote(words)));
    }
    Meaning::Unknown(match (wrong_unit, nearest) {
        (Some(channel), _) => format!("its unit is none of {}", channel.label()),
        (_, Some((1.., words, left))) => {
            let shown = left.iter().take(SHOWN).map(|word| quote(word));
            let mut shown: Vec<String> = shown.collect();
            if left.len() > SHOWN {
                shown.push("…".into());
            }
            format!("{} is understood, {} is not", quote(words), shown.join(" "))
        }
        _ => "no reading is called so".into(),
    })
}

fn same(set: &[String], words: &str) -> bool {
    let theirs = || words.split(' ').filter(|word| !word.is_empty());
    theirs().count() == set.len() && theirs().all(|word| set.iter().any(|own| own == word))
}

fn strip(text: &str) -> &str {
    text.trim().trim_matches(['[', ']', '(', ')'])
}

/// The pieces of a name, and the unit in brackets or at its end.
fn parts(name: &str) -> (Vec<String>, Given) {
    let mut found = Given::default();
    let mut rest = String::new();
    let mut from = name;
    // Brackets hold a unit, from where it counts, or words.
    while let Some(open) = from.find(['[', '(', '{']) {
        let Some(length) = from[open..].find([']', ')', '}']) else {
            break;
        };
        let inner = &from[open + 1..open + length];
        let given = unit(inner);
        let said = given.datum.or(datum(&inner.trim().to_lowercase()));
        // `(lambda)` is a name as well.
        let unit = matches!(given.scale, Some(Scale::Unit(..)));
        let words = if unit || said.is_some() { "" } else { inner };
        rest += &format!("{} {words} ", &from[..open]);
        found.scale = found.scale.or(given.scale);
        found.datum = found.datum.or(said);
        from = &from[open + length + 1..];
    }
    rest += from;
    let mut tokens: Vec<String> = rest
        .split([' ', '_', ',', ';', ':', '\t'])
        .map(|token| {
            token
                .trim_matches(['.', '-', '[', ']', '(', ')'])
                .to_string()
        })
        .filter(|token| !token.is_empty() && token != "/")
        .collect();
    if found.scale.is_none() {
        // The longest run of words at the end that is a unit: `Boost psi gauge`, `air_flow_g_s`.
        let ends = (1..=3.min(tokens.len()))
            .rev()
            .map(|count| tokens.len() - count);
        let given = ends.filter_map(|at| {
            let given = [" ", "/"].map(|between| unit(&tokens[at..].join(between)));
            given
                .into_iter()
                .find(|given| given.scale.is_some())
                .map(|given| (at, given))
        });
        if let Some((at, given)) = { given }.next() {
            found.scale = given.scale;
            found.datum = found.datum.or(given.datum);
            // `AFR` and `RPM` are names too.
            if at > 0 && matches!(given.scale, Some(Scale::Unit(..))) {
                tokens.truncate(at);
            }
        }
    }
    (tokens, found)
}

/// The words of a name in small letters.
fn pieces(tokens: &[String]) -> Vec<String> {
    tokens.iter().flat_map(|token| camel(token)).collect()
}

/// Words without those that add nothing, one for several.
fn words(pieces: &[String]) -> Vec<String> {
    let mut all = Vec::new();
    for piece in pieces {
        for word in spell::apart(piece) {
            let other = SAME.iter().find(|(also, _)| *also == word);
            let plain = other.map_or(word.as_str(), |(_, same)| same);
            for word in plain.split([' ', '/', '-']) {
                let counts = !word.is_empty() && !EMPTY.contains(&word);
                if counts && !all.iter().any(|known| known == word) {
                    all.push(word.to_string());
                }
            }
        }
    }
    all
}

/// `EngineSpeed` as two words.
fn camel(token: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut before = ' ';
    for c in token.chars() {
        if c.is_uppercase() && before.is_lowercase() {
            pieces.push(String::new());
        }
        if let Some(last) = pieces.last_mut() {
            last.extend(c.to_lowercase());
        }
        before = c;
    }
    pieces
}

//! What names say of columns, and what a person says of them.

use crate::log::head::Head;
use crate::log::unit::{Given, affine, fits, gate, unit};
use crate::log::words::{Meaning, meaning};
use crate::log::{Mapping, Said};
use sim::network::Reading;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;

/// What a column is thought to be before its numbers are looked at.
#[derive(Clone, Debug)]
pub(super) struct Thought {
    pub meaning: Meaning,
    /// A person has said so.
    pub sure: bool,
}

impl Thought {
    pub fn is_of(&self, wanted: Channel) -> bool {
        matches!(self.meaning, Meaning::Signal(channel, ..) if channel == wanted)
    }

    /// Numbers of the column that can be true, as far as its name tells its unit.
    pub fn gate(&self) -> [f64; 2] {
        match self.meaning {
            Meaning::Signal(channel, ref given, _) | Meaning::Second(channel, ref given) => {
                gate(channel, *given)
            }
            _ => [f64::NEG_INFINITY, f64::INFINITY],
        }
    }
}

/// What the names say, and what a person says of them.
///
/// # Errors
/// A unit that is none, or does not fit the reading.
pub(super) fn thoughts(head: &Head, mapping: &Mapping) -> Result<Vec<Thought>, String> {
    let own_log = head.names.iter().any(|name| name == "time_s");
    let meaning = |name: &str, below: &str| meaning(name, below, own_log);
    let one = |(i, name): (usize, &String)| {
        let Some(said) = mapping.columns.get(name) else {
            return Ok(Thought {
                meaning: meaning(name, &head.units[i]),
                sure: false,
            });
        };
        let own = match meaning(name, &head.units[i]) {
            Meaning::Signal(_, given, _) => given,
            _ => unit(&head.units[i]),
        };
        let given = |text: &Option<String>| match text {
            None => Ok(own),
            Some(text) => match unit(text) {
                Given { scale: None, .. } => Err(format!("`{name}`: `{text}` is no unit")),
                given => Ok(given),
            },
        };
        let meaning = match said {
            Said::Ignore => Meaning::Unknown("left out as the mapping says".into()),
            Said::Time(None) => Meaning::Time(unit(&head.units[i]).scale),
            Said::Time(Some(text)) if text == "clock" => Meaning::Time(None),
            Said::Time(Some(text)) => match unit(text).scale {
                Some(scale) if scale.dimension() == Some(Dimension::Time) => {
                    Meaning::Time(Some(scale))
                }
                _ => {
                    return Err(format!(
                        "`{name}`: `{text}` is no unit of time: s, ms, clock"
                    ));
                }
            },
            Said::Reading(channel, text) => {
                let given = given(text)?;
                let wrong = given.scale.filter(|scale| !fits(*scale, *channel));
                if let (Some(_), Some(text)) = (wrong, text) {
                    let key = channel.key();
                    return Err(format!("`{name}`: `{text}` is no unit of `{key}`"));
                }
                let scale = given.scale.filter(|_| wrong.is_none());
                Meaning::Signal(
                    *channel,
                    Given { scale, ..given },
                    "as the mapping says".into(),
                )
            }
        };
        Ok(Thought {
            meaning,
            sure: true,
        })
    };
    head.names.iter().enumerate().map(one).collect()
}

/// The column that is taken for the engine's speed, and rpm per number of it.
pub(super) fn engine_speed(thoughts: &[Thought]) -> Option<(usize, f64)> {
    let speed = Channel::Read(Reading::EngineSpeed);
    first(thoughts, speed).map(|(i, given)| {
        let scaled = given.scale.and_then(|scale| affine(scale, speed, 1.0));
        (i, scaled.map_or(1.0, |affine| affine.factor))
    })
}

/// The column of a channel: the one a person names, or the first.
pub(super) fn first(thoughts: &[Thought], wanted: Channel) -> Option<(usize, Given)> {
    let of = |(i, thought): (usize, &Thought)| match &thought.meaning {
        Meaning::Signal(channel, given, _) if *channel == wanted => Some((i, *given)),
        _ => None,
    };
    let sure = thoughts
        .iter()
        .enumerate()
        .filter(|(_, thought)| thought.sure);
    let mut sure = sure.filter_map(of);
    sure.next()
        .or_else(|| thoughts.iter().enumerate().find_map(of))
}

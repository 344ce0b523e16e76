//! Dangers, as every answer has them: for programs under `dangers`, for people before all else.

use crate::page::{Block, Page, Section};
use crate::say::dangers as say;
use crate::text::words::capital;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::readings::FORMS;
use sim::study::running::dangers::{self, Hazard, Limit, Source};

/// A danger; numbers in its own unit.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Danger {
    /// `lean_under_boost`, `overboost`, `turbo_over_speed`, `engine_over_speed`, `exhaust_too_hot`,
    /// `catalyst_too_hot`, `knock`, `raw_fuel_in_exhaust`, `crankcase_pressure`,
    /// `brake_servo_without_vacuum`; `test_pressure` of a test in the workshop.
    pub kind: &'static str,
    /// In which car, or what brings it, where there are several.
    pub of: Option<String>,
    /// Operating point, or moment of a drive.
    pub condition: Option<String>,
    /// What was read, or what the model gives.
    pub read: Option<f64>,
    /// What is wanted, where that is known.
    pub aim: Option<f64>,
    /// Who says so.
    pub aim_from: Option<&'static str>,
    /// The most that is allowed.
    pub most: Option<f64>,
    /// The least that is allowed.
    pub least: Option<f64>,
    /// Of these numbers; empty for a plain one.
    pub unit: &'static str,
    /// All readings that tell it.
    pub readings: Vec<&'static str>,
    /// The trouble code that tells it.
    pub code: Option<&'static str>,
    /// Whether the engine computer keeps it from lasting, by taking back torque.
    pub held_back: bool,
    /// What must be done before the engine is loaded, or the car driven.
    pub until: &'static str,
    /// All of it in sentences.
    pub words: String,
    /// What is dangerous and by how much, in a line.
    #[serde(skip)]
    pub short: String,
    /// Whether leaks or faults that are asked about would bring it; else this car has it.
    #[serde(skip)]
    pub brought: bool,
    /// Whether such a car may not be driven at all.
    #[serde(skip)]
    pub stands: bool,
}

/// The kind of a danger of a test in the workshop.
const TEST: &str = "test_pressure";

fn round(value: f64) -> f64 {
    sim::units::round(value, 6).parse().unwrap_or(value)
}

impl From<&dangers::Danger> for Danger {
    fn from(danger: &dangers::Danger) -> Self {
        let beyond = danger.beyond.as_ref();
        let aim = beyond.and_then(|beyond| beyond.aim);
        let stated = aim.filter(|aim| {
            // An estimate of lambda is nobody's aim and judges nothing.
            aim.source != Source::Estimate || danger.hazard == Hazard::Overboost
        });
        let limit = beyond.map(|beyond| beyond.limit);
        let readings = beyond.iter().flat_map(|b| &b.readings);
        Danger {
            kind: danger.hazard.word(),
            of: None,
            condition: danger.at.clone(),
            read: beyond.map(|b| round(b.read)),
            aim: stated.map(|aim| round(aim.value)),
            aim_from: aim.map(|aim| aim.source.word()),
            most: limit.and_then(|limit| match limit {
                Limit::Most(most) => Some(round(most)),
                Limit::Least(_) => None,
            }),
            least: limit.and_then(|limit| match limit {
                Limit::Least(least) => Some(round(least)),
                Limit::Most(_) => None,
            }),
            unit: danger.unit().0,
            readings: readings.map(|r| FORMS[*r as usize].key).collect(),
            code: danger.code,
            held_back: danger.held_back,
            until: danger.hazard.until(),
            words: danger.words(),
            short: danger.in_a_line(),
            brought: false,
            stands: danger.hazard.forbids_driving(),
        }
    }
}

impl Danger {
    /// All of a car at a point.
    pub fn all<'a>(
        of: &'a str,
        at: &'a str,
        found: &'a [dangers::Danger],
    ) -> impl Iterator<Item = Self> + 'a {
        let all = found.iter().cloned().map(|danger| match at.is_empty() {
            true => danger,
            false => danger.at(at),
        });
        all.map(|danger| Self {
            of: (!of.is_empty()).then(|| of.into()),
            ..Self::from(&danger)
        })
    }

    /// One that these bring.
    pub fn brought(hazard: Hazard, by: &[String]) -> Self {
        let bare = dangers::Danger {
            hazard,
            at: None,
            beyond: None,
            code: None,
            held_back: false,
        };
        let by = by.join("; ");
        Self {
            short: hazard.name().into(),
            brought: true,
            words: say::brought(capital(hazard.name()), &by, hazard.threat(), hazard.until()),
            of: Some(by),
            ..Self::from(&bare)
        }
    }

    /// Of a test in the workshop, in these words.
    pub fn of_test(words: &str) -> Self {
        Self {
            kind: TEST,
            of: None,
            condition: None,
            read: None,
            aim: None,
            aim_from: None,
            most: None,
            least: None,
            unit: "",
            readings: Vec::new(),
            code: None,
            held_back: false,
            until: say::UNTIL_VENTED,
            words: words.into(),
            short: words.into(),
            brought: false,
            stands: false,
        }
    }

    /// As people read it.
    fn said(&self) -> String {
        match &self.of {
            Some(of) if !self.words.contains(of.as_str()) => say::of(of, &self.words),
            _ => self.words.clone(),
        }
    }

    /// Share by which its limit is passed; 0 where none is stated.
    fn excess(&self) -> f64 {
        let limit = self.most.or(self.least);
        let beyond = self.read.zip(limit);
        beyond.map_or(0.0, |(read, limit)| {
            (read - limit).abs() / limit.abs().max(1e-9)
        })
    }

    /// As people read it in a line; `also` at how many points more.
    fn in_a_line(&self, also: usize) -> String {
        let said = match also {
            0 => self.short.clone(),
            _ => say::also_at_more(&self.short, also),
        };
        match &self.of {
            Some(of) if !self.words.contains(of.as_str()) => say::of(of, said),
            _ => said,
        }
    }

    /// All of them as people read them, whole and in a line: of one kind and car the worst, with where
    /// else it is.
    fn all_said(all: &[Danger]) -> Vec<(String, String)> {
        let alike = |a: &Danger, b: &Danger| a.kind == b.kind && a.of == b.of;
        // A test's pressures are told apart by their words alone.
        let one = |a: &Danger, b: &Danger| alike(a, b) && a.condition.is_some();
        let firsts = (0..all.len()).filter(|i| !all[..*i].iter().any(|b| one(&all[*i], b)));
        let said = firsts.map(|i| {
            let group: Vec<&Danger> = all.iter().filter(|b| one(&all[i], b)).collect();
            let worst = group
                .iter()
                .max_by(|a, b| a.excess().total_cmp(&b.excess()));
            let worst = worst.copied().unwrap_or(&all[i]);
            let rest = group
                .iter()
                .filter_map(|danger| danger.condition.as_deref());
            let rest: Vec<&str> = rest
                .filter(|at| worst.condition.as_deref() != Some(at))
                .collect();
            let whole = match rest.is_empty() {
                true => worst.said(),
                false => say::also_at(worst.said(), rest.join(", ")),
            };
            (whole, worst.in_a_line(rest.len()))
        });
        said.collect()
    }
}

/// Dangers that stand whole before the answer: more of them stand there a line each, and whole in a
/// part of their own, so that the answer stays on the same screen.
const WHOLE: usize = 2;

/// A page with these dangers before all else.
pub(crate) fn endangered(mut page: Page, dangers: &[Danger]) -> Page {
    if page.sections.is_empty() && !dangers.is_empty() {
        page.sections.push(Section::default());
    }
    let said = Danger::all_said(dangers);
    // Pressures of a test have no shorter words.
    let many = said.len() > WHOLE && dangers.iter().all(|danger| danger.kind != TEST);
    let (whole, short): (Vec<String>, Vec<String>) = said.into_iter().unzip();
    if let Some(first) = page.sections.first_mut() {
        let driven = dangers.iter().any(|danger| danger.stands);
        let until = if driven {
            say::UNTIL_DRIVEN
        } else {
            say::UNTIL_LOADED
        };
        let above = match many {
            true if dangers.iter().all(|danger| danger.brought) => {
                vec![say::all_brought(short.join(", "), until)]
            }
            true => short.into_iter().chain([until.into()]).collect(),
            false => whole.clone(),
        };
        let above = above.into_iter().map(Block::Danger);
        first.blocks.splice(0..0, above);
    }
    if many {
        let blocks = whole.into_iter().map(Block::Caution).collect();
        // Of what holes and faults of every size may bring the sentence is enough on paper.
        let brought = dangers.iter().all(|danger| danger.brought);
        let part = Section::new(say::ONE_BY_ONE, blocks);
        let part = part.folded(true).off_paper(brought);
        page.sections.insert(1, part);
    }
    page
}

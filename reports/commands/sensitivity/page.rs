//! The page of `sensitivity`.

use crate::commands::sensitivity::Answers;
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::{Block, CAUTION, Page, Picture, Section};
use crate::text::number::slug;
use sim::units::round;

/// The page: at every point the quantities that move each reading, ranked.
pub fn page(answers: &Answers) -> Page {
    let sections = answers.points.iter().enumerate().map(|(i, (name, point))| {
        let mut blocks = Vec::new();
        match point {
            Err(e) => blocks.push(Block::Caution(format!("no answer: {e}"))),
            Ok(point) => {
                let mut row = Vec::new();
                for (j, of) in answers.of.iter().enumerate() {
                    let ranked = answers.ranked(*of, point);
                    let Some(value) = of.value(point).filter(|_| !ranked.is_empty()) else {
                        continue;
                    };
                    let all = ranked.iter().enumerate().map(|(k, effect)| {
                        let slope = effect.slope * effect.by.one;
                        let said = round(slope, 3).replace('-', "\u{2212}");
                        let sign = if slope > 0.0 { "+" } else { "" };
                        let unit = match effect.by.unit.as_str() {
                            "" => "1",
                            unit => unit,
                        };
                        // What 1 % of the quantity does (of its range, where it is zero).
                        let (key, effect_of_one) = match effect.elasticity {
                            Some(e) => (
                                format!("/points/{i}/readings/{j}/by/{k}/percent_per_percent"),
                                e,
                            ),
                            None => (String::new(), 0.0),
                        };
                        Bar {
                            name: effect.by.quantity.key.clone(),
                            value: effect_of_one,
                            said: format!("{sign}{said} {} per {unit}", of.unit()),
                            json: key,
                            interval: None,
                            ink: if k == 0 { Ink::Faulty } else { Ink::Sound },
                        }
                    });
                    let all: Vec<Bar> = all.collect();
                    let now = format!(
                        "{}, now {} {}",
                        of.key(),
                        round(if value.abs() < 1e-6 { 0.0 } else { value }, 3)
                            .replace('-', "\u{2212}"),
                        of.unit()
                    );
                    row.push(Picture {
                        name: format!("sensitivity-{}-{}", slug(name), slug(of.key())),
                        caption: format!(
                            "{}: bars are per cent of the reading per per cent of the quantity.",
                            now.trim_end()
                        ),
                        scene: bars(now.trim_end(), &all, 460.0),
                    });
                }
                blocks.push(match row.is_empty() {
                    true => Block::Words("Nothing here moves these readings.".into()),
                    false => Block::Row(row),
                });
                blocks.extend(
                    point
                        .stops
                        .iter()
                        .map(|stop| Block::Caution(format!("one-sided: {stop}"))),
                );
            }
        }
        Section {
            heading: name.clone(),
            blocks,
        }
    });
    Page {
        title: format!("What moves the readings: {}", answers.case.scenario.title),
        lead: vec![
            format!("Car: {}.", answers.case.network.vehicle.name).into(),
            "Exact first derivatives of the car as it is; what the computer learns moves with the quantity and \
             is counted in."
                .into(),
        ],
        sections: sections.collect(),
        notes: vec![CAUTION.into()],
    }
}

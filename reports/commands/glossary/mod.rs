//! `falseair glossary`: the words that answers, pages and files use.

mod entry;
mod terms;

use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, WithMarkdown, schema};
use crate::page::record::WORDS;
use crate::page::{Block, Page, Section, Table};
use crate::record;
use crate::say::glossary as say;
use clap::ValueEnum;
use entry::Entry;
use terms::TERMS;

pub(crate) const HELP: &str = "\
Examples:
  falseair glossary
  falseair glossary --english us --report glossary.html";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("glossary", schema::<Glossed>);

/// Which English.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum English {
    /// American: gasoline, muffler.
    Us,
    /// British: petrol, silencer.
    #[default]
    Uk,
}

/// Options of `glossary`.
#[derive(Debug, clap::Args)]
pub struct Glossary {
    /// Words that differ between American and British English.
    #[arg(long, value_enum, default_value_t)]
    pub english: English,
    /// Form, file, page.
    #[command(flatten)]
    pub asked: Asked<WithMarkdown>,
}

record! {
    /// A term.
    struct Term {
        /// What it is called here.
        term: &'static str = "word" "" WORDS;
        /// The same in the other English; empty where it is the same.
        elsewhere: String = "elsewhere" "" WORDS;
        /// What it means here.
        meaning: &'static str = "what it means here" "" WORDS;
        /// The standard and its term, in meaning; empty where none is meant.
        standard: String = "standard's term" "" WORDS;
    }

    /// Terms of one kind.
    struct Group {
        /// Of what.
        about: &'static str;
        /// In order.
        terms: Vec<Term>;
    }

    /// All of them.
    struct Glossed {
        /// `us` or `uk`.
        english: &'static str;
        /// How far the standards' wording can be trusted.
        wording: &'static str;
        /// In order.
        groups: Vec<Group>;
    }
}

/// Answers `falseair glossary`.
///
/// # Errors
/// The answer cannot be made.
pub fn glossary(options: &Glossary) -> Result<Answer, Trouble> {
    let english = options.english;
    let groups = TERMS.iter().map(|(about, entries)| Group {
        about,
        terms: entries
            .iter()
            .map(|entry| Term::of(entry, english))
            .collect(),
    });
    options.asked.answer(&Glossed {
        english: match english {
            English::Us => "us",
            English::Uk => "uk",
        },
        wording: say::WORDING,
        groups: groups.collect(),
    })
}

impl Term {
    fn of(entry: &Entry, english: English) -> Self {
        let [us, uk] = entry.names;
        let (term, other, land) = match english {
            English::Us => (us, uk, "UK"),
            English::Uk => (uk, us, "US"),
        };
        Self {
            term,
            elsewhere: match us == uk {
                true => String::new(),
                false => format!("{land}: {other}"),
            },
            meaning: entry.meaning,
            standard: match entry.theirs {
                "" => entry.standard.name().into(),
                theirs => format!("{}: {theirs}", entry.standard.name()),
            },
        }
    }
}

impl Term {
    /// In a line: columns on a terminal are too narrow for it.
    fn line(&self) -> String {
        let elsewhere = match self.elsewhere.as_str() {
            "" => String::new(),
            other => format!(" ({other})"),
        };
        let standard = match self.standard.as_str() {
            "" => String::new(),
            standard => format!(" [{standard}]"),
        };
        format!("{}{elsewhere}: {}{standard}", self.term, self.meaning)
    }
}

impl Answers for Glossed {
    type Data<'a> = &'a Glossed;

    fn data(&self) -> &Glossed {
        self
    }

    fn page(&self) -> Page {
        let sections = self.groups.iter().enumerate().map(|(i, group)| {
            let json = format!("/groups/{i}/terms");
            let table = Table::of("", &json, &group.terms, &[]);
            let lines = group.terms.iter().map(Term::line).collect();
            let blocks = vec![
                Block::Table(table).on_page(),
                Block::List(lines).on_terminal(),
            ];
            Section::new(group.about, blocks)
        });
        Page {
            title: say::TITLE.into(),
            lead: vec![say::ABOUT.into(), say::WORDING.into()],
            sections: sections.collect(),
            notes: vec![say::OTHER.into()],
            ..Page::default()
        }
    }
}

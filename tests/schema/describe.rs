//! The trees that the declarations give.

use crate::{leaves, read, vehicles, walk};
use sim::network::Vehicle;
use sim::params::{Content, Described, Form, Presence};
use sim::scenario::Scenario;
use sim::units::Dimension;
use sim::{quantities, tables, words};
use std::collections::BTreeSet;

words! {
    /// A choice.
    pub enum Way {
        /// Round.
        Round = "round",
        /// Straight on.
        Straight = "straight",
    }
}

quantities! {
    /// A plate.
    pub struct Plate {
        /// across
        bore: Length [5e-3, 0.2],
        /// how warm
        warmth: Temperature [200.0, 400.0] = 293.15,
    }
}

/// Plates in a file.
pub type Plates = Vec<Plate>;
/// Words in a file.
pub type Ways = Vec<Way>;

tables! {
    /// Inside another.
    pub struct Inner {
        /// a curve
        line: AngularSpeed [0.0, 1000.0] -> Ratio [0.0, 2.0],
        /// a plate in it
        plate: Plate<P>,
    }
}

tables! {
    /// One of everything that a line can be.
    pub struct Everything {
        /// a text
        name: String,
        /// a text with a default
        about: String = "none".into(),
        /// a flag
        flag: bool = true,
        /// a word
        way: Way = Way::Straight,
        /// a word that may be left out
        other_way: Way or None,
        /// words
        ways: Ways = vec![Way::Round],
        /// a quantity
        size: Volume [1e-6, 1e-2],
        /// a quantity with a default
        share: Ratio [0.0, 1.0] = 0.25,
        /// a quantity that may be left out
        pressure: AbsolutePressure [5e4, 1.1e5] or None,
        /// a curve that may be left out
        curve: Time [0.0, 10.0] -> Length [0.0, 1.0] or None,
        /// a table
        plate: Plate<P>,
        /// a table that may be left out
        spare: Plate<P> or None,
        /// a table of mixed content that may be left out
        inner: Inner<P> or None,
        /// a list of tables
        plates: Plates = Vec::new(),
    }
}

/// The least that reads.
pub const LEAST: &str = "name = \"n\"\nsize = \"1 L\"\n[plate]\nbore = \"50 mm\"\n";

#[test]
fn every_kind_of_line_is_described() {
    let Form::Table(table) = Everything::<f64>::form() else {
        panic!("a table");
    };
    assert_eq!(table.doc, "One of everything that a line can be.");
    let key = |name: &str| table.keys.iter().find(|key| key.name == name).unwrap();
    assert_eq!(table.keys.len(), 14);
    assert_eq!(key("name").form, Form::Text);
    assert_eq!(key("name").presence, Presence::Required);
    assert_eq!(key("name").doc, "a text");
    assert_eq!(
        key("about").presence,
        Presence::Default(Content::Text("none".into()))
    );
    assert_eq!(key("flag").form, Form::Flag);
    assert_eq!(key("flag").presence, Presence::Default(Content::Flag(true)));
    let words = Form::Words(vec![("round", "Round."), ("straight", "Straight on.")]);
    assert_eq!(key("way").form, words);
    assert_eq!(
        key("way").presence,
        Presence::Default(Content::Word("straight"))
    );
    assert_eq!(key("other_way").presence, Presence::Optional);
    assert_eq!(key("ways").form, Form::List(Box::new(words)));
    let Form::Quantity(size) = key("size").form else {
        panic!("a quantity");
    };
    assert_eq!(
        (size.dimension, size.low, size.high),
        (Dimension::Volume, 1e-6, 1e-2)
    );
    assert_eq!(
        key("share").presence,
        Presence::Default(Content::Number(0.25))
    );
    assert_eq!(key("pressure").presence, Presence::Optional);
    let Form::Curve { x, y, least, most } = key("curve").form else {
        panic!("a curve");
    };
    assert_eq!(
        (x.dimension, y.dimension),
        (Dimension::Time, Dimension::Length)
    );
    assert_eq!((x.high, y.high, least, most), (10.0, 1.0, 2, 8));
    assert_eq!(key("curve").presence, Presence::Optional);
    assert_eq!(key("plate").form, Plate::<f64>::form());
    assert_eq!(key("spare").presence, Presence::Optional);
    assert_eq!(
        key("plates").form,
        Form::List(Box::new(Plate::<f64>::form()))
    );
}

/// A default in the description is the value that the reader gives.
#[test]
fn what_is_left_out_has_the_described_default() {
    let read: Everything = read(LEAST).unwrap();
    let (Form::Table(form), Content::Table(values)) = (Everything::<f64>::form(), read.content())
    else {
        panic!("a table");
    };
    for (key, (name, value)) in form.keys.iter().zip(values) {
        assert_eq!(key.name, name);
        match &key.presence {
            Presence::Default(default) => assert_eq!(value.as_ref(), Some(default), "{name}"),
            Presence::Optional => assert_eq!(value, None, "{name}"),
            _ => assert!(value.is_some(), "{name}"),
        }
    }
}

/// Every number of a content, by its dotted key as `map` writes it; lists are left out.
fn numbers(path: &str, content: &Content, found: &mut BTreeSet<String>) {
    match content {
        Content::Number(_) => {
            found.insert(path.into());
        }
        Content::Curve(points) => {
            let all =
                (0..points.len()).flat_map(|i| [format!("{path}.{i}.0"), format!("{path}.{i}.1")]);
            found.extend(all);
        }
        Content::Table(keys) => {
            for (name, value) in keys {
                let dot = if path.is_empty() { "" } else { "." };
                if let Some(value) = value {
                    numbers(&format!("{path}{dot}{name}"), value, found);
                }
            }
        }
        _ => {}
    }
}

/// The numbers that `map` hands out are those of the content, but for tables kept
/// in plain numbers (the fuel), which it hands out none of.
#[test]
fn every_number_of_a_vehicle_is_described() {
    let mut lists = Vec::new();
    walk("", &Vehicle::<f64>::form(), &mut |path, entry| {
        if matches!(entry.form, Form::List(_)) {
            lists.push(format!("{path}."));
        }
    });
    for vehicle in vehicles() {
        let (mut seen, mut described) = (BTreeSet::new(), BTreeSet::new());
        vehicle.map(&mut |key: &str, value: f64| {
            if !lists.iter().any(|list| key.starts_with(list)) {
                seen.insert(key.to_string());
            }
            value
        });
        numbers("", &vehicle.content(), &mut described);
        let unknown: Vec<_> = seen.difference(&described).collect();
        assert!(unknown.is_empty(), "{unknown:?}");
        for key in described.difference(&seen) {
            let (table, _) = key.rsplit_once('.').unwrap_or_else(|| panic!("{key}"));
            let partly = seen.iter().any(|s| s.starts_with(&format!("{table}.")));
            assert!(!partly, "{key}");
        }
        assert!(seen.len() > 100);
    }
}

#[test]
fn every_key_says_what_it_means() {
    let all = leaves::<Vehicle>().into_iter().chain(leaves::<Scenario>());
    for (path, entry) in all {
        assert!(entry.doc.len() > 3, "{path}");
        if let Presence::Default(Content::Number(value)) = entry.presence {
            let Form::Quantity(field) = entry.form else {
                panic!("{path}");
            };
            assert!((field.low..=field.high).contains(&value), "{path}");
        }
    }
}

//! How a check is done, as answers tell it.

use crate::page::{Block, Line};
use crate::record;
use crate::say::how as say;
use sim::study::workshop::procedures::{Act, Procedure};

record! {
    /// How a check is done at this car.
    pub struct How {
        /// Its own dangers; they come before the steps.
        cautions: Vec<String>;
        /// Highest, gauge; none where no air is let in.
        limit_kpa: Option<f64>;
        /// What protects, in a sentence.
        protection: String;
        /// What is put on, and counted out again.
        blank_off: Vec<&'static str>;
        /// What is opened and stays open meanwhile.
        stays_open: Vec<&'static str>;
        /// What is done first.
        set_up: Vec<String>;
        /// How it is read.
        read: Vec<String>;
        /// When to stop.
        stop: Vec<String>;
        /// How all is put back.
        put_back: Vec<String>;
    }
}

impl How {
    /// Of a procedure.
    pub fn new(procedure: &Procedure) -> Self {
        let says = |acts: &[Act]| acts.iter().map(|act| act.says.clone()).collect();
        Self {
            cautions: procedure.cautions.clone(),
            limit_kpa: procedure.limit.as_ref().map(|limit| limit.pressure / 1e3),
            protection: procedure.protected(),
            blank_off: procedure
                .pieces()
                .iter()
                .map(|piece| piece.name())
                .collect(),
            stays_open: procedure.vents().iter().map(|vent| vent.name()).collect(),
            set_up: says(&procedure.set_up),
            read: says(&procedure.read),
            stop: procedure.stop.clone(),
            put_back: says(&procedure.back),
        }
    }

    /// Its own dangers.
    pub fn cautions(&self) -> &[String] {
        &self.cautions
    }

    /// What people see: the dangers first.
    pub fn blocks(&self) -> Vec<Block> {
        let mut blocks: Vec<Block> = self.cautions.iter().cloned().map(Block::Caution).collect();
        blocks.push(Block::Words(self.protection.clone()));
        let listed = |name: &str, all: &[&str]| {
            let line = Line::new(name, all.join(", "));
            (!all.is_empty()).then_some(Block::Labelled(line))
        };
        blocks.extend(listed(say::BLANK_OFF, &self.blank_off));
        blocks.extend(listed(say::STAYS_OPEN, &self.stays_open));
        blocks.push(Block::Checks(self.set_up.clone()));
        blocks.push(Block::List(self.read.clone()));
        blocks.extend(Block::list(self.stop.iter().cloned()));
        if !self.put_back.is_empty() {
            blocks.push(Block::Checks(self.put_back.clone()));
        }
        blocks
    }
}

//! A payback answer in words.

use crate::commands::workshop::payback::{File, Number, Row};
use crate::say::workshop_payback as say;
use crate::text::number::difference;
use sim::study::workshop::payback::Duty;
use sim::units::round;

/// `+3.2`, a dash where there is none.
fn signed(value: Option<f64>, decimals: usize) -> String {
    value.map_or("\u{2013}".into(), |value| difference(value, decimals))
}

/// `+3.2 (+2.1 to +4.4)`, or the value alone where nothing is in doubt.
fn spread(number: &Number, decimals: usize) -> String {
    let value = signed(number.value, decimals);
    match (number.low, number.high) {
        _ if number.value.is_none() => value,
        (Some(low), Some(high)) => {
            let [low, high] = [low, high].map(|end| difference(end, decimals));
            match low == high {
                true => value,
                false => format!("{value} ({low} to {high})"),
            }
        }
        _ => say::stops_at_limit(value),
    }
}

pub(super) fn says(file: &File) -> String {
    let Some(first) = file.repairs.first() else {
        return String::new();
    };
    let mut said = match file.repairs.len() {
        1 => say::mending(&first.name),
        _ => say::mend_first(&first.name),
    };
    if first
        .risks_removed
        .iter()
        .any(|risk| ["danger", "does_not_run"].contains(&risk.kind))
    {
        said += say::TAKES_AWAY;
    }
    let alone = &first.alone;
    let all = [
        ("N m", alone.torque_nm.value, 1),
        ("kW", alone.power_kw.value, 1),
        ("L of fuel a year saved", alone.fuel_l_year.value, 0),
        ("points of trim margin", alone.trim_margin_pct.value, 1),
    ];
    let gains = all.iter().filter_map(|(unit, value, decimals)| {
        let text = signed(*value, *decimals);
        text.starts_with('+').then(|| format!("{text} {unit}"))
    });
    let gains: Vec<String> = gains.collect();
    said += &match gains.is_empty() {
        true => say::CHANGES_NOTHING.into(),
        false => say::gives(gains.join(", ")),
    };
    if first.chance < 1.0 {
        said += &say::if_there(100.0 * first.chance);
    }
    said += &say::work(round(first.time_h, 2));
    if first.parts > 0.0 {
        let parts = format!("{} {}", round(first.parts, 6), file.currency);
        said += &say::parts(parts.trim());
    }
    if file.repairs.len() > 1 {
        said += match file.sum_differs.is_empty() {
            true => say::ADD_UP,
            false => say::DO_NOT_ADD_UP,
        };
    }
    said + "."
}

/// What is dangerous as the car is.
pub(super) fn dangers(file: &File) -> Vec<String> {
    let all = file.repairs.iter().flat_map(|row| {
        let dangers = row.risks_removed.iter();
        let dangers = dangers.filter(|risk| risk.kind == "danger");
        dangers.map(|risk| say::danger(&row.name, risk.point, &risk.what))
    });
    all.collect()
}

/// For which duty the gains are.
pub(super) fn about(duty: &Duty) -> String {
    let [idle, cruise, full] = [duty.idle, duty.cruise, duty.full_load].map(|share| 100.0 * share);
    let (distance, speed) = (duty.distance / 1e3, duty.average_speed * 3.6);
    say::about(idle, cruise, full, distance, speed)
}

impl Row {
    /// What is wrong, how large, how sure; what mending takes, gives and removes.
    pub(super) fn words(&self, file: &File) -> Vec<String> {
        let mut said = vec![self.fault(), self.work(file), self.gains()];
        let first = self.mended_first.as_ref();
        said.extend(first.filter(|_| !file.sum_differs.is_empty()).map(|first| {
            say::if_first(
                signed(first.torque_nm.value, 1),
                signed(first.power_kw.value, 1),
                signed(first.fuel_l_year.value, 0),
                signed(first.trim_margin_pct.value, 1),
            )
        }));
        said.extend(self.risks_removed.iter().map(|risk| match risk.kind {
            "code" => say::code_gone(risk.point, &risk.what),
            _ => say::risk_gone(risk.point, &risk.what),
        }));
        said
    }

    fn fault(&self) -> String {
        let size = match self.size_low == self.size_high {
            true => String::new(),
            false => {
                // One unit for both ends.
                let unit = self.size_high.split_once(' ').map_or("", |(_, unit)| unit);
                let low = self.size_low.trim_end_matches(unit).trim_end();
                format!(" ({low} to {})", self.size_high)
            }
        };
        let chance = match self.chance < 1.0 {
            true => say::chance(100.0 * self.chance),
            false => String::new(),
        };
        format!("Fault: {}{size}; {}{chance}.", self.what, self.state)
    }

    fn work(&self, file: &File) -> String {
        let mut work = format!("Work: {} h", round(self.time_h, 2));
        if self.price > 0.0 {
            let price = format!("{} {}", round(self.price, 6), file.currency);
            work += &format!(", {} in all", price.trim());
        }
        if let Some(years) = self.years_to_pay {
            work += &say::paid(round(years, 2));
        }
        work + "."
    }

    fn gains(&self) -> String {
        let alone = &self.alone;
        say::gains(
            spread(&alone.torque_nm, 1),
            alone.torque_at_rpm,
            spread(&alone.power_kw, 1),
            alone.power_at_rpm,
            spread(&alone.fuel_l_year, 0),
            spread(&alone.trim_margin_pct, 1),
        )
    }
}

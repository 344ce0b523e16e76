//! A payback answer in words.

use crate::commands::workshop::before::ending;
use crate::commands::workshop::payback::{File, Number, Numbers, Question, Row};
use crate::text::words::{fixed, heading, paragraph};
use sim::units::round;

/// `+3.2`, a dash where there is none.
fn signed(value: Option<f64>, decimals: usize) -> String {
    let plus = |v: f64| match fixed(v, decimals) {
        text if v > 0.0 && text.contains(|c: char| ('1'..='9').contains(&c)) => format!("+{text}"),
        text => text,
    };
    value.map_or("-".into(), plus)
}

/// `+3.2 (+2.1 to +4.4)`, or the value alone where nothing is in doubt.
fn spread(number: &Number, decimals: usize) -> String {
    let value = signed(number.value, decimals);
    match (number.low, number.high) {
        (Some(low), Some(high)) => {
            let [low, high] = [low, high].map(|end| signed(Some(end), decimals));
            match low == high {
                true => value,
                false => format!("{value} ({low} to {high})"),
            }
        }
        (None, _) | (_, None) if number.value.is_some() => {
            format!("{value} (at a limit of its size the engine does not run)")
        }
        _ => value,
    }
}

pub(super) fn says(file: &File) -> String {
    let Some(first) = file.repairs.first() else {
        return String::new();
    };
    let name = &first.name;
    let mut said = match file.repairs.len() {
        1 => format!("Mending \"{name}\""),
        _ => format!("Mend \"{name}\" first: it"),
    };
    let dangers = first
        .risks_removed
        .iter()
        .filter(|risk| risk.kind != "code");
    said += match dangers.count() > 0 {
        true => " takes away a danger, and",
        false => "",
    };
    let expected = &first.expected;
    let all = [
        ("N m", expected.torque_nm.value, 1),
        ("kW", expected.power_kw.value, 1),
        ("L of fuel a year saved", expected.fuel_l_year.value, 0),
        ("points of trim margin", expected.trim_margin_pct.value, 1),
    ];
    let shown = |value: f64, decimals| signed(Some(value), decimals);
    let gains = all.iter().filter_map(|(unit, value, decimals)| {
        let text = shown((*value)?, *decimals);
        text.starts_with('+').then(|| format!("{text} {unit}"))
    });
    let gains: Vec<String> = gains.collect();
    let gains = match gains.is_empty() {
        true => " changes nothing else that is worth the work".into(),
        false => format!(" gives {}", gains.join(", ")),
    };
    said += &gains;
    if first.chance < 1.0 {
        said += &format!(
            " (expected, at {:.0} % that it is there)",
            100.0 * first.chance
        );
    }
    said += &format!(" for {} h of work", round(first.time_h, 2));
    if first.parts > 0.0 {
        let parts = format!("{} {}", round(first.parts, 6), file.currency);
        said += &format!(" and {} of parts", parts.trim());
    }
    if file.repairs.len() > 1 {
        said += match file.sum_differs.is_empty() {
            true => "; the faults hardly touch each other, gains add up",
            false => "; the faults touch each other, gains do not add up",
        };
    }
    said + "."
}

pub(super) fn warnings(file: &File) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for row in &file.repairs {
        let dangers = row.risks_removed.iter();
        let dangers = dangers.filter(|risk| risk.kind == "danger");
        let texts =
            dangers.map(|risk| format!("with \"{}\", {}: {}", row.name, risk.point, risk.what));
        said.extend(texts);
    }
    said
}

/// For which duty the gains are.
pub(super) fn about(question: &Question, file: &File) -> String {
    let duty = &question.duty;
    format!(
        "{}; {:.0} % idle, {:.0} % light cruise, {:.0} % full load by time, {:.0} km a year at {:.0} \
         km/h; gains are for each fault alone, as if there",
        file.vehicle,
        100.0 * duty.idle,
        100.0 * duty.cruise,
        100.0 * duty.full_load,
        duty.distance / 1e3,
        duty.average_speed * 3.6
    )
}

pub(super) fn table(question: &Question, file: &File) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &file.says);
    paragraph(&mut text, "", &about(question, file));
    heading(
        &mut text,
        &format!(
            "repairs: dangers first, then codes, then {} per hour",
            file.ranked_by.replace('_', " ")
        ),
    );
    let line = |text: &mut String, name: &str, cells: [&str; 6]| {
        let name: String = name.chars().take(27).collect();
        *text += &format!("{name:28}");
        for (cell, width) in cells.into_iter().zip([8, 8, 9, 8, 9, 9]) {
            *text += &format!("{cell:>width$}");
        }
        text.truncate(text.trim_end().len());
        text.push('\n');
    };
    line(
        &mut text,
        "",
        ["torque", "power", "fuel", "fuel", "margin", "per hour"],
    );
    line(
        &mut text,
        "",
        ["N m", "kW", "L/100km", "L/year", "% trim", "kW"],
    );
    for row in &file.repairs {
        let cells = cells(&row.alone);
        let per_hour = signed(row.per_hour.power_kw.value, 1);
        let [a, b, c, d, e] = cells.each_ref().map(String::as_str);
        line(
            &mut text,
            &format!("{} {}", row.rank, row.name),
            [a, b, c, d, e, &per_hour],
        );
    }
    if file.repairs.len() > 1 {
        let sum = &file.sum_of_alone;
        let sum = [
            signed(sum.torque_nm, 1),
            signed(sum.power_kw, 1),
            signed(sum.fuel_l_100km, 2),
            signed(sum.fuel_l_year, 0),
            signed(sum.trim_margin_pct, 1),
        ];
        let [a, b, c, d, e] = sum.each_ref().map(String::as_str);
        line(&mut text, "  sum of these", [a, b, c, d, e, ""]);
        let all = cells(&file.together);
        let [a, b, c, d, e] = all.each_ref().map(String::as_str);
        line(&mut text, "  all mended together", [a, b, c, d, e, ""]);
    }
    for words in &file.sum_differs {
        paragraph(&mut text, "NOT THE SUM  ", words);
    }
    for row in &file.repairs {
        details(&mut text, file, row);
    }
    ending(&mut text, &file.warnings, &file.cautions);
    text
}

fn cells(numbers: &Numbers) -> [String; 5] {
    [
        signed(numbers.torque_nm.value, 1),
        signed(numbers.power_kw.value, 1),
        signed(numbers.fuel_l_100km.value, 2),
        signed(numbers.fuel_l_year.value, 0),
        signed(numbers.trim_margin_pct.value, 1),
    ]
}

/// What is wrong, how large, how sure.
pub(super) fn fault(row: &Row) -> String {
    let sure = match row.chance < 1.0 {
        true => format!(
            "{}, {:.0} % that it is there",
            row.state,
            100.0 * row.chance
        ),
        false => row.state.into(),
    };
    let size = match row.size_low == row.size_high {
        true => String::new(),
        false => format!(" ({} to {})", row.size_low, row.size_high),
    };
    format!("{}{size}; {sure}", row.what)
}

/// What mending takes.
pub(super) fn work(file: &File, row: &Row) -> String {
    let mut work = format!("{} h", round(row.time_h, 2));
    if row.price > 0.0 {
        work += &format!(", {} {} in all", round(row.price, 6), file.currency);
    }
    if let Some(years) = row.years_to_pay {
        work += &format!(", paid by fuel alone in {} years", round(years, 2));
    }
    work
}

fn details(text: &mut String, file: &File, row: &Row) {
    heading(text, &format!("{} {}", row.rank, row.name));
    paragraph(text, "fault      ", &fault(row));
    paragraph(text, "work       ", &work(file, row));
    let alone = &row.alone;
    let gains = format!(
        "torque {} N m at {} rpm, power {} kW at {} rpm, fuel saved {} L a year, trim margin {} %",
        spread(&alone.torque_nm, 1),
        alone.torque_at_rpm,
        spread(&alone.power_kw, 1),
        alone.power_at_rpm,
        spread(&alone.fuel_l_year, 0),
        spread(&alone.trim_margin_pct, 1),
    );
    paragraph(text, "gains      ", &gains);
    if let Some(first) = row
        .mended_first
        .as_ref()
        .filter(|_| !file.sum_differs.is_empty())
    {
        let words = format!(
            "torque {} N m, power {} kW, fuel {} L a year, trim margin {} %",
            signed(first.torque_nm.value, 1),
            signed(first.power_kw.value, 1),
            signed(first.fuel_l_year.value, 0),
            signed(first.trim_margin_pct.value, 1),
        );
        paragraph(text, "if first   ", &words);
    }
    for risk in &row.risks_removed {
        let label = match risk.kind {
            "code" => "code gone  ",
            _ => "RISK GONE  ",
        };
        paragraph(text, label, &format!("{}: {}", risk.point, risk.what));
    }
}

//! `workshop payback`.

use sim::sentences;

sentences! {
    /// The answer begins, for one repair.
    mending(name) "Mending \"{name}\"";
    /// For several.
    mend_first(name) "Mend \"{name}\" first: it";
    /// It goes on.
    TAKES_AWAY " takes away a danger, and";
    /// It goes on.
    CHANGES_NOTHING " changes nothing else that is worth the work";
    /// It goes on.
    gives(gains) " gives {gains}";
    /// It goes on.
    if_there(chance) " (if it is there, which is {chance:.0} % likely)";
    /// It goes on.
    work(hours) " for {hours} h of work";
    /// It goes on.
    parts(price) " and {price} of parts";
    /// Its end.
    ADD_UP "; the faults hardly affect each other, so gains add up";
    /// Its end.
    DO_NOT_ADD_UP "; the faults affect each other, so gains do not add up";
    /// What is dangerous as the car is.
    danger(name, point, what) "with \"{name}\", {point}: {what}";
    /// In which car.
    with(name) "with \"{name}\"";
    /// For which duty the gains are.
    about(idle, cruise, full, distance, speed) "{idle:.0} % idle, {cruise:.0} % light cruise, {full:.0} % full load by time, {distance:.0} km a year at {speed:.0} km/h; gains are for each fault alone, as if there.";
    /// A gain at a limit.
    stops_at_limit(value) "{value} (at a limit of its size the engine does not run)";
    /// Gains of a repair.
    gains(torque, torque_at, power, power_at, fuel, margin) "Gains: torque {torque} N m at {torque_at} rpm, power {power} kW at {power_at} rpm, fuel saved {fuel} L a year, trim margin {margin} %.";
    /// Gains of a repair in the car with all faults.
    if_first(torque, power, fuel, margin) "If first: torque {torque} N m, power {power} kW, fuel {fuel} L a year, trim margin {margin} %.";
    /// What goes with the fault.
    code_gone(point, code) "Code gone, {point}: {code}.";
    /// The same.
    risk_gone(point, what) "Risk gone, {point}: {what}.";
    /// How sure a fault is.
    chance(chance) ", {chance:.0} % that it is there";
    /// What fuel pays.
    paid(years) ", paid by fuel alone in {years} years";
    /// Before those that differ.
    NOT_THE_SUM "The gains are not the sum of their parts:";
    /// One that differs.
    not_the_sum(name, sum, unit, all) "{name}: alone they add up to {sum} {unit}, together it is {all}";
    /// Head of the table.
    ranked(by) "Gains by mending each fault alone; dangers first, then codes, then {by} per hour.";
    /// Head of the table.
    WORK "What mending takes, and what power is expected per hour of work and parts.";
    /// Under a picture.
    DRAWN "Gains by mending each fault as if it were alone, and by mending all; thin lines: 90 % limits of the faults' sizes.";
    /// A caution.
    LEAN "Do not run an engine that is lean, over its boost or over the turbo's speed at full load to \
          find out more: it can destroy itself within seconds.";
}

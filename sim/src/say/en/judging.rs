//! From readings to faults: what fits, what to do next, what a test found; a car fitted to its log.

crate::sentences! {
    nothing_given() "no reading and no code is given: nothing to judge by";
    no_such_car() "no car in the catalogue can have these readings at all";
    no_fault() "no fault";
    /// Before a refusal.
    danger_line(words) "DANGER: {words}\n";
    no_code(found)
        "{found} is no trouble code: a letter P, C, B or U, a digit 0 to 3, three digits or letters A to F";
    no_code_but(found, near)
        "{found} is no trouble code: a letter P, C, B or U, a digit 0 to 3, three digits or letters A to F; \
         did you mean `{near}`?";
    both(first, second) "{first} and {second}";
    nothing_to_fit() "no condition holds a reading to compare the car with";
    fit_not_running(condition, why) "the car does not run at `{condition}`: {why}";
    fit_unsettled(reading, condition, off)
        "the fit does not settle: it cannot follow {reading} at {condition}, off by {off:.1} standard \
         deviations; the readings may be of another car";
    fit_unsettled_anyhow() "the fit does not settle: the readings may be of another car";
}

// What to do next.
crate::sentences! {
    decay_inlet_duct()
        "pressure-decay test of the duct from meter to turbocharger, both ends plugged, 34 kPa \
         (5 psi) at most: breather hose off, its union at the turbocharger plugged, the \
         crankcase end left open, oil filler cap off";
    decay_boost_side()
        "pressure-decay test from turbocharger outlet to throttle, hoses off there and plugged, \
         plugs secured, never above normal boost";
    flow_manifold()
        "flow test of the manifold with throttle plugged, engine turned by hand to the position \
         that lets out least, oil filler cap off and breather open";
    by_speed_sensor() "turbo speed by a speed sensor";
    turbine_pressure() "pressure before the turbine by gauge";
    duct_depression() "depression in the inlet duct by gauge";
    crankcase_pressure() "crankcase pressure by gauge";
    plug_readings(condition) "scan-tool readings (at the diagnostic connector) at {condition}";
    reading_at(reading, condition) "{reading}, at {condition}";
    at_idle_only(check) "{check}: at idle, not under load";
    healthy_rise(rise)
        "in a healthy car of this make the trim rises by {rise:.0} %, plain air that the \
         crankcase ventilation (PCV) valve draws through the open end; clearly less says that \
         air came in at the union or the crankcase before; at its stop the trim says nothing";
}

// What an outcome would mean.
crate::sentences! {
    outcome(found, chance, fault, then) "{found} ({chance:.0} %): then {fault} {then:.0} %";
    foretold_tight() "tight";
    leaks_as(millimetres) "as a {millimetres:.1} mm hole";
    would_show(faults, shown) "{faults}: {shown}";
    all_would_show(shown) "all of them: {shown}";
}

// What was found.
crate::sentences! {
    not_running_there() "the engine does not run there";
    nothing_found() "nothing found";
    points_to(fault) "points to: {fault}";
    found_where(found, healthy) "{found} ({healthy})";
    leaks_as_hole(millimetres) "leaks as a {millimetres:.1} mm hole";
    tight() "tight, as far as the test can tell";
}

// Confirm at the part.
crate::sentences! {
    look_at_it() "look at the part itself";
    /// Of a check that loads the engine.
    once_safe(check)
        "{check}: only once nothing above says that full load could be dangerous";
    /// What a check would prove wrong.
    wrong_if_found(fault, check, found)
        "It is not {fault} if {check} finds: {found}";
    /// What a reading would prove wrong.
    wrong_if_read(fault, reading, least, most, this, other, there)
        "It is not {fault} if the {reading}, is outside {least} to {most}: {this} with this fault, \
         {there} with {other}";
}

//! The plan of pressure and smoke tests: its steps, their limits, and tests that went above.

// Steps.
crate::sentences! {
    smoke_step() "smoke through the whole intake";
    charge_step() "charge pipes and cooler by pressure";
    manifold_step() "manifold by pressure";
    inlet_step() "inlet duct by pressure";
    capsule_step() "wastegate capsule by hand pump";
    chamber_step() "compressor bypass (recirculation) valve by hand pump";
    crankcase_step() "crankcase by smoke";
    exhaust_step() "exhaust by smoke";
}

// Why a step allows no more.
crate::sentences! {
    smoke_reaches_crankcase()
        "breather and crankcase ventilation (PCV) valve carry it into the crankcase, whose shaft seals are made \
         to hold oil, not pressure";
    manifold_limit()
        "air passes open valves and rings into the crankcase: 10 psi at most (workshop \
         rule of thumb, no published source)";
    inlet_limit()
        "ducts and seals before the compressor never see pressure in the car: 5 psi at most \
         (workshop rule of thumb, no published source)";
    crankcase_limit()
        "shaft seals are made to hold oil, not pressure, and dipsticks jump: never more than \
         0.5 psi, 14 inches of water (workshop rule of thumb, no published source)";
    exhaust_limit()
        "as much as a smoke machine gives, 1.5 psi; flexible joints and sensors are made for \
         flow, not for standing pressure";
    boost_limit(boost) "normal boost of this car is {boost:.0} kPa: never test above it";
    usual_limit() "intakes are tested with 138 kPa (20 psi) at most (workshop rule of thumb, no published source)";
}

// A test above its limit.
crate::sentences! {
    section(section) "the section {section}";
    place(place) "the {place}";
    above_least_limit(found, allowed, step, why)
        "the test pressure of {found} kPa gauge is above {allowed} kPa, the least that \
         `workshop plan` allows ({step}): {why}. No `place` is given, so this least limit was \
         taken; give the place for its own";
    above_limit(found, up_to, on, step, why)
        "the test pressure of {found} kPa gauge is above the {up_to} kPa that `workshop plan` \
         allows for {on} ({step}): {why}";
    and_in_step(said, lower, allowed, lower_why)
        "{said}; in the step `{lower}` no more than {allowed} kPa: {lower_why}";
    allowed_in_one_step(found, on, step, lower, allowed, lower_why)
        "the test pressure of {found} kPa gauge at {on} is allowed by `workshop plan` in the \
         step `{step}` only; in the step `{lower}` no more than {allowed} kPa: {lower_why}";
    /// The highest of all on the car; pressures in kPa.
    above_any_on_car(found, most, bench)
        "a test pressure of {found} kPa gauge is not worked out: on the car nothing is tested \
         above {most} kPa (20 psi). Let the pressure off. A part that is off the car may be tested \
         with `bench`, at 1.5 times normal boost and {bench} kPa at most";
    above_bench(found, most, boost)
        "a test pressure of {found} kPa gauge is not worked out: off the car a part is tested at \
         1.5 times its normal boost of {boost} kPa and 200 kPa at most, here {most} kPa. Let the \
         pressure off";
    above_bench_unknown(found, most)
        "a test pressure of {found} kPa gauge is not worked out: off the car a part is tested at \
         1.5 times its normal boost, which nobody says here: give the `vehicle`; without it \
         {most} kPa is the most. Let the pressure off";
    on_bench(most)
        "the part is off the car: test it under water or behind a guard, nobody in line with a \
         plug, up to {most} kPa gauge at most";
    also_above_boost(said, boost)
        "{said}. It is also above this car's normal boost of {boost:.0} kPa: never test above it";
}

// What to do, and how to read it.
crate::sentences! {
    smoke_into_air_box()
        "Let the smoke in through a plug in the air box, before the meter; leave the filler cap \
         and the dipstick in place.";
    nothing_else_blanked()
        "Nothing else is blanked off: what hangs on the intake fills too. Purge valve and brake \
         servo are closed by their own valves; smoke there is a finding.";
    fill_until_smoke()
        "Fill until smoke has come at a cap loosened furthest away, close it, then look with a \
         strong lamp at every joint.";
    smoke_from_exhaust()
        "Smoke from the exhaust is no leak of the intake: one cylinder stands with both valves \
         open.";
    valve_stays_shut() "The compressor bypass valve stays shut at this pressure.";
    plug_charge_pipes()
        "Take the hose off the compressor outlet and plug it; take the hose off the throttle \
         and plug it (the throttle itself is never tight). Secure both plugs with clamps and a \
         strap.";
    wastegate_hose_stays() "The signal hose of the wastegate stays on: it is part of the test.";
    seat_heard_outside() "Air heard at the compressor bypass valve's outlet passes its seat.";
    seat_heard_inside()
        "Air heard in the inlet duct (take it off the compressor) passes the compressor bypass \
         valve's seat.";
    wait_then_read()
        "Shut off the supply, wait half a minute until the air has taken the temperature of the \
         walls, then read the gauge against the watch.";
    soapy_water() "Soapy water at joints, cooler tanks and hose ends shows where.";
    throttle_held_open()
        "Take the hose off the compressor outlet and plug it, plug secured; the hose at the throttle \
         is on. Hold the throttle open by the maker's way, not by wedging it.";
    filler_cap_out()
        "Take out the filler cap and leave the breather open to the air: what passes the rings \
         must get out. Never block the crankcase vent.";
    blank_servo_and_purge() "Blank off the ports of brake servo and purge valve at the manifold.";
    ventilation_hose_in_sight()
        "Put the crankcase ventilation (PCV) valve's hose in sight: air out of it towards the crankcase \
         means the valve does not shut.";
    read_again_sealed_off()
        "Read as before; let the pressure off, seal the suspect part off by tape or clamp, raise it \
         and read again: the difference is its own (`workshop decay` with a `reference`).";
    plug_behind_meter()
        "Plug the duct behind the meter (the meter itself is not made for pressure); all other \
         hoses back on.";
    breather_hose_plugged()
        "Take the breather hose off the crankcase end and plug the hose, never the crankcase: \
         its vent stays open to the air, filler cap out.";
    throttle_as_before() "Hold the throttle open by the maker's way; blank off the ports of brake servo and purge \
         valve at the manifold.";
    rings_pass_here_too()
        "Valves and rings let air out here too: let the pressure off, seal the union or duct joint by \
         hand-tight tape or clamp, raise it and read again; what counts is the difference.";
    pump_at_boost_pipe()
        "Take the signal hose off the boost pipe and pump there; plug the hose to the wastegate \
         solenoid.";
    pump_at_manifold()
        "Take the signal hose off the manifold and pump there; the valve's outlet stays open, so \
         that a torn diaphragm shows.";
    gauge_stands_still() "The gauge should stand still; then with vacuum the valve should lift.";
    smoke_through_breather()
        "Let the smoke in through the breather hose, which is the vent: the machine's own \
         relief must open at this pressure, so that nothing is blocked.";
    ventilation_hose_off()
        "Take the crankcase ventilation (PCV) valve's hose off the manifold: no smoke may come out of the hose \
         by itself with the valve shut.";
    look_at_crankcase() "Look at filler cap, dipstick, covers and both ends of the crankshaft.";
    exhaust_cold()
        "Exhaust cold. Let the smoke in at the tailpipe through a cone; a drain hole of the \
         silencer is no leak.";
    crankcase_open()
        "Filler cap out, breather hose left on and open, air box open: what passes valves and \
         rings must get out before it presses on the crankcase's seals.";
    look_at_exhaust() "Look at manifold, turbine flanges and every joint up to the sensor.";
    valve_opens_by_itself(pressure)
        "The compressor bypass valve opens by itself from {pressure:.0} kPa when its signal hose is \
         open, and looks like a leak: stay below, or feed that hose with the test pressure.";
    rod_stays(pressure)
        "The rod should stand still, for it moves near {pressure:.0} kPa, above what is tested here; so \
         should the gauge.";
    rod_moves(pressure)
        "The rod should begin to move near {pressure:.0} kPa and the gauge stand still; so \
         small a volume empties through any hole at once.";
}

// A test that is too gentle to tell all.
crate::sentences! {
    gentle_test()
        "what flows at boost is that of a hole that keeps its size; a split opens with pressure \
         and then passes more";
}

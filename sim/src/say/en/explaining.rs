//! Why readings changed: one clause a reason, and how clauses go together.

crate::sentences! {
    nothing_changes() "Nothing changes that workshop instruments would show.";
    /// After the only reasons there are.
    nothing_else(reasons) "{reasons}; nothing else changes that instruments would show";
    torque_reduced(seen, code, boost, boost_before, torque, torque_before)
        "The engine computer sees {seen} ({code}) and reduces torque: boost {boost:.0} kPa \
         instead of {boost_before:.0}, torque {torque:.0} N m instead of {torque_before:.0}.";
    /// Clauses of one sentence.
    beside(first, second) "{first}, {second}";
    /// Clauses of one sentence, farther apart.
    apart(first, second) "{first}; {second}";
}

// Where air goes.
crate::sentences! {
    uncounted(flow, share) "{flow:.2} g/s of air comes in behind the meter, uncounted ({share})";
    past_filter(flow, share) "{flow:.2} g/s of unmetered air comes in ({share})";
    counted_lost(flow, share)
        "{flow:.2} g/s of air already counted is lost before the engine ({share})";
    taken_lost(flow, share)
        "{flow:.2} g/s of air already taken in is lost before the engine ({share})";
    goes_round(flow, share)
        "{flow:.2} g/s goes round from boost back to the turbo inlet ({share})";
    into_exhaust(flow, share) "{flow:.2} g/s of air gets into the exhaust ({share})";
    out_of_exhaust(flow, share) "{flow:.2} g/s of exhaust gets out ({share})";
    /// The first share says of what.
    share_of_breath(share) "{share:.1} % of what the engine breathes";
    share_alone(share) "{share:.1} %";
}

// Mixture.
crate::sentences! {
    open_loop_leaner(was, is)
        "open loop does not correct the mixture, so lambda goes from {was:.3} to {is:.3}, leaner";
    open_loop_richer(was, is)
        "open loop does not correct the mixture, so lambda goes from {was:.3} to {is:.3}, richer";
    /// What the carried trim does, lambda, and what it would be without.
    carried(trim, lambda, without)
        "open loop does not correct the mixture, and {trim}, so {lambda}; without that trim it \
         would be about {without:.2}";
    carried_adds(percent) "the trim learnt at part load still adds {percent:.1} % fuel";
    carried_takes_off(percent) "the trim learnt at part load still takes off {percent:.1} % fuel";
    carried_leaner(was, is) "lambda goes from {was:.3} to {is:.3}, leaner";
    carried_richer(was, is) "lambda goes from {was:.3} to {is:.3}, richer";
    carried_keeps(is) "lambda stays at {is:.3}";
    trim_adds(percent) "the oxygen sensor adds {percent:.1} % fuel by trim";
    trim_takes_off(percent) "the oxygen sensor takes off {percent:.1} % fuel by trim";
    trim_hides(trim) "{trim}, and so hides it from the mixture";
    trim_falls_short(trim, left) "{trim}, yet {left}";
    leaner_at_stop(lambda)
        "the real mixture is leaner (lambda {lambda:.2}), for the trim is at its stop";
    richer_at_stop(lambda)
        "the real mixture is richer (lambda {lambda:.2}), for the trim is at its stop";
    leaner_unseen(lambda, sensed)
        "the real mixture is leaner (lambda {lambda:.2}), though the sensor reads {sensed:.2}";
    richer_unseen(lambda, sensed)
        "the real mixture is richer (lambda {lambda:.2}), though the sensor reads {sensed:.2}";
    leaner_left(lambda)
        "the real mixture is leaner (lambda {lambda:.2}), and the trim does not make up for it";
    richer_left(lambda)
        "the real mixture is richer (lambda {lambda:.2}), and the trim does not make up for it";
    mixture_untouched() "counted by manifold pressure, the mixture stays as it was";
}

// Burning.
crate::sentences! {
    misfires(percent) "{percent:.0} % of the working cycles do not burn";
}

// Boost and turbo.
crate::sentences! {
    boost_rises(kpa, psi) "boost is {kpa:.1} kPa ({psi:.2} psi) higher";
    boost_falls(kpa, psi) "boost is {kpa:.1} kPa ({psi:.2} psi) lower";
    boost_rises_same_duty(kpa, psi, duty)
        "boost is {kpa:.1} kPa ({psi:.2} psi) higher at the same wastegate solenoid duty ({duty:.0} %)";
    boost_falls_same_duty(kpa, psi, duty)
        "boost is {kpa:.1} kPa ({psi:.2} psi) lower at the same wastegate solenoid duty ({duty:.0} %)";
    duty_goes(was, is) "wastegate solenoid duty goes from {was:.1} to {is:.1} %";
    boost_kept(was, is)
        "boost control keeps the boost, so the gauge hides it: wastegate solenoid duty goes from \
         {was:.1} to {is:.1} %";
    surges() "the compressor surges: its air flows back and forth, and flutters at the filter";
    turbo_faster(krpm) "the turbo turns {krpm:.1} krpm faster";
    turbo_slower(krpm) "the turbo turns {krpm:.1} krpm slower";
    air_warmer(kelvin) "the intake air is {kelvin:.0} °C warmer";
    air_cooler(kelvin) "the intake air is {kelvin:.0} °C cooler";
}

// Idle.
crate::sentences! {
    idle_breathes(is, was) "the engine breathes {is:.2} g/s instead of {was:.2}";
    governor_closes(was, is) "the idle governor closes the throttle from {was:.1} to {is:.1} %";
    governor_opens(was, is) "the idle governor opens the throttle from {was:.1} to {is:.1} %";
    spark_later(degrees) "the spark comes {degrees:.0} deg later";
    spark_earlier(degrees) "the spark comes {degrees:.0} deg earlier";
    idle_too_fast(rpm) "idle runs {rpm:.0} rpm too fast";
    idle_too_slow(rpm) "idle runs {rpm:.0} rpm too slow";
}

// What is left at the crankshaft, for how much fuel.
crate::sentences! {
    torque_rises(newton_metres, percent) "torque is {newton_metres:.1} N m ({percent:.1} %) higher";
    torque_falls(newton_metres, percent) "torque is {newton_metres:.1} N m ({percent:.1} %) lower";
    fuel_rises(percent) "the engine gets {percent:.1} % more fuel";
    fuel_falls(percent) "the engine gets {percent:.1} % less fuel";
}

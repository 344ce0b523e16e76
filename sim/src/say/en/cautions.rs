//! What is dangerous, or beyond the model: warnings of a point, dangers in readings.

// Warnings of an operating point.
crate::sentences! {
    turbo_over_speed(speed, limit)
        "turbo over its speed limit: {speed:.0} krpm, allowed {limit:.0} krpm; do not run the engine like this";
    engine_over_speed(speed, limit)
        "engine over its speed limit: {speed:.0} rpm, allowed {limit:.0} rpm: valves, rods and \
         pistons are not made for it; do not run the engine like this";
    engine_at_limit(limit, cut)
        "engine at its speed limit: above {limit:.0} rpm the engine computer cuts the fuel, here \
         {cut:.0} % of it; do not hold it there";
    over_boosted(boost, wanted)
        "boost {boost:.0} kPa where {wanted:.0} kPa is wanted: pipes, engine and turbo are not \
         made for it; do not run the engine like this";
    exhaust_too_hot(found, bears)
        "exhaust {found:.0} °C before the turbine, which bears {bears:.0} °C: do not hold this load";
    left_of_surge_line() "compressor left of its surge line: the real one would surge here";
    past_zero_head() "compressor far past zero head: extrapolated";
    /// Lean under full load.
    lean_at_full_load(lambda)
        "lean at full load (lambda {lambda:.2}): knock and burnt valves or pistons threaten; do \
         not run the engine like this";
    too_lean_to_burn(lambda) "mixture too lean to burn well (lambda {lambda:.2}): misfire";
    too_rich_to_burn(lambda)
        "mixture too rich to burn (lambda {lambda:.2}): raw fuel reaches the exhaust";
    spark_far_retarded(retard) "spark retarded {retard:.0} deg: beyond the torque law's range";
    drifts_away() "the engine does not stay here: pushed a little, it drifts away";
    swings_away() "the engine does not stay here: pushed a little, it swings away";
    /// What a code that reduces the torque keeps from coming true.
    if_not_reduced(warning) "if the computer did not reduce torque: {warning}";
    /// Where in a card.
    at_engine_speed(rpm, warning) "{rpm:.0} rpm: {warning}";
    one_sided(stop) "derivatives one-sided: {stop}";
    at_stop(what) "the {what} stands at its stop: the derivatives hold while it stays there";
    near_stop(what) "the {what} is near its stop: the derivatives hold until it gets there";
}

// Dangers in readings.
crate::sentences! {
    lean_under_boost() "lean under boost";
    too_much_boost() "too much boost";
    /// After "until".
    until_mixture_is_right()
        "fuel pressure and delivery, air metering, leaks and the oxygen sensor have been \
         checked, engine standing or at idle, and the cause is put right";
    /// After "until".
    until_boost_is_right()
        "wastegate, capsule, its hoses and solenoid, and the boost sensor have been \
         checked, engine standing, and the cause is put right";
    danger_at(danger, point) "{danger} at {point}";
    code_is_set(code) "code {code} is set";
    lambda_beyond(read, aim, most)
        "lambda {read}, where {aim} is wanted and {most} is the most allowed";
    lambda_beyond_unknown(read, most)
        "lambda {read}, where the aim is not known and {most} is the most allowed";
    boost_beyond(read, aim, most)
        "boost {read}, where {aim} is wanted and {most} is the most allowed";
    boost_beyond_estimate(read, aim, most)
        "boost {read}, where {aim} is estimated and {most} is the most allowed";
    /// `what` begins the sentence.
    danger_in_full(what, found, threat, until)
        "{what}: {found}. {threat}. Do not run it under load until {until}.";
}

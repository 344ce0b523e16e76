//! What is dangerous, or beyond the model: warnings of a point, dangers in readings.

// Warnings of an operating point.
crate::sentences! {
    engine_at_limit(limit, cut)
        "engine at its speed limit: above {limit:.0} rpm the engine computer cuts the fuel, here \
         {cut:.0} % of it; do not hold it there";
    surges_on_fuel_cut(resume, cut)
        "with the pedal released the engine computer cuts the fuel near {cut:.0} rpm and gives it \
         back near {resume:.0} rpm: the real speed surges between the two, this is its mean";
    runs_rough(percent)
        "{percent:.0} % of the working cycles do not burn: the engine runs rough or shakes";
    left_of_surge_line() "compressor left of its surge line: the real one would surge here";
    past_zero_head() "compressor far past zero head: extrapolated";
    spark_far_retarded(retard) "spark retarded {retard:.0} deg: beyond the torque law's range";
    drifts_away() "the engine does not stay here: pushed a little, it drifts away";
    swings_away() "the engine does not stay here: pushed a little, it swings away";
    /// What a code that reduces the torque keeps from coming true.
    if_not_reduced(warning) "if the computer did not reduce torque: {warning}";
    /// Where in a card.
    at_engine_speed(rpm, warning) "{rpm:.0} rpm: {warning}";
    /// The same, of a danger.
    rpm(rpm) "{rpm:.0} rpm";
    one_sided(stop) "derivatives one-sided: {stop}";
    at_stop(what) "the {what} stands at its stop: the derivatives hold while it stays there";
    near_stop(what) "the {what} is near its stop: the derivatives hold until it gets there";
}

// Names of dangers.
crate::sentences! {
    lean_under_boost() "lean under boost";
    too_much_boost() "too much boost";
    turbo_over_speed() "turbo over its speed limit";
    engine_over_speed() "engine over its speed limit";
    exhaust_too_hot() "exhaust too hot";
    catalyst_too_hot() "catalyst too hot";
    knock() "heavy knock";
    raw_fuel() "raw fuel in the exhaust";
    crankcase_pressure() "crankcase under pressure";
    brake_servo() "brake servo without vacuum";
}

// What is read of a danger.
crate::sentences! {
    of_lambda() "lambda";
    of_boost() "boost";
    of_turbo() "turbo speed";
    of_engine() "engine speed";
    of_exhaust() "before the turbine";
    of_catalyst() "before the catalyst";
    of_catalyst_out() "behind the catalyst";
    of_misfire() "working cycles that do not burn";
    of_spark() "spark taken back";
    of_crankcase() "over ambient";
    of_manifold() "manifold below ambient";
}

// What must be done first, after "until".
crate::sentences! {
    until_mixture_is_right()
        "fuel pressure and delivery, air metering, leaks and the oxygen sensor have been \
         checked, engine standing or at idle, and the cause is put right";
    until_boost_is_right()
        "wastegate, capsule, its hoses and solenoid, and the boost sensor have been \
         checked, engine standing, and the cause is put right";
    until_turbo_is_slow()
        "leaks and blockages between turbocharger and engine, the wastegate and the turbocharger \
         itself have been checked, engine standing, and the cause is put right";
    until_engine_is_slow()
        "the speed limit, the gears used and the clutch have been checked, and the engine has been \
         listened to at idle";
    until_exhaust_is_cool()
        "mixture, spark timing, exhaust back pressure and leaks have been checked, engine \
         standing or at idle, and the cause is put right";
    until_catalyst_is_cool()
        "spark, injectors and mixture have been checked for misfire, engine standing, the catalyst \
         looked at, and the cause is put right";
    until_knock_is_gone()
        "the fuel's octane number, charge temperature, mixture and deposits have been checked, \
         engine standing or at idle, and the cause is put right";
    until_fuel_burns()
        "spark, injectors and mixture have been checked, engine standing, and the cause is put right; \
         at idle no longer than the check needs";
    until_crankcase_breathes()
        "breather hoses, oil separator and crankcase ventilation (PCV) valve have been checked for \
         blockage, engine standing, and the cylinders for blow-by";
    until_servo_has_vacuum()
        "the servo's hose and check valve, and the leaks of the manifold, have been checked, \
         and the pedal has been felt to sink as the engine starts";
}

// Dangers in full.
crate::sentences! {
    danger_at(danger, point) "{danger} at {point}";
    code_is_set(code) "code {code} is set";
    beyond_aim(what, read, aim, most)
        "{what} {read}, where {aim} is wanted and {most} is the most allowed";
    beyond_unknown(what, read, most)
        "{what} {read}, where the aim is not known and {most} is the most allowed";
    beyond_estimate(what, read, aim, most)
        "{what} {read}, where {aim} is estimated and {most} is the most allowed";
    above(what, read, most) "{what} {read}, where {most} is the most allowed";
    below(what, read, least) "{what} {read}, where {least} is the least allowed";
    at_most(what, read, most) "{what} {read}, at most {most}";
    at_least(what, read, least) "{what} {read}, at least {least}";
    held_back() " (until the engine computer takes back torque)";
    /// `what` begins the sentence, `found` goes on after it.
    danger_in_full(what, found, threat, until)
        "{what}{found}. {threat}. Do not run it under load until {until}.";
    /// The same of a danger that forbids driving.
    danger_to_drive(what, found, threat, until)
        "{what}{found}. {threat}. Do not drive it until {until}.";
}

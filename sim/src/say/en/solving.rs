//! Why the equations have no answer.

crate::sentences! {
    stalled_for_torque() "the engine stalls: its torque no longer covers friction and load";
    stalled_at_mixture(lambda)
        "the engine stalls: at lambda {lambda:.1} the mixture in the cylinders no longer burns";
    /// Where lambda is no number that anyone would read.
    stalled_for_mixture() "the engine stalls: the mixture in the cylinders no longer burns";
    torque_too_low(wanted, least)
        "the engine cannot get down to {wanted:.1} N m here: with the throttle shut it still gives {least:.1} N m";
    torque_too_high(wanted, most)
        "the engine cannot reach {wanted:.1} N m here: with the throttle wide open it gives {most:.1} N m";
    over_limit(asked, limit)
        "{asked:.0} rpm is over the engine's speed limit of {limit:.0} rpm: the engine computer \
         cuts the fuel there (`engine_speed_limit` of the vehicle file)";
    hunting(low, high) "no steady idle: it hunts between {low:.0} and {high:.0} rpm";
    surging() "no steady running: the compressor surges, flow and boost keep swinging";
    misfiring(most)
        "no steady running: up to {most:.0} % of the working cycles do not burn, and the engine \
         swings between burning more of them and fewer";
    /// `what` as in "amount of the gas in the hot pipe".
    unsettled(what)
        "no steady running was found here: however long the engine is run, the {what} still \
         changes. Ask for a speed, load or size of fault a little beside this one, or run it over \
         time as a drive to see what it does";
    step_too_small(time) "the integration cannot go on at {time:.3} s: the step became too small";
    /// Name of a state whose Jacobian cannot be inverted.
    singular() "running of the engine as a whole";

    too_stiff(time) "too stiff for the explicit method at {time:.3} s";
    explicit_stuck(time) "the explicit integration cannot go on at {time:.3} s";
    not_numbers(time) "the rates are not numbers at {time:.3} s";
    not_reached(longest) "not reached within {longest} s";
    out_of_order(time) "{time} s is out of order";
}

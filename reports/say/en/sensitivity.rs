//! `sensitivity`.

use sim::sentences;

sentences! {
    /// Title.
    title(scenario) "What moves the readings: {scenario}";
    /// What is shown.
    ABOUT "Exact first derivatives of the car as it is. What the computer learns at idle and light cruise \
        moves with the quantity and is counted in; air, speed, pedal and held torque stay. `%/%` is \
        the change of the reading in per cent per per cent of the quantity. Ranked by the effect of 1 % of \
        the quantity (of its range, where it is zero).";
    /// A reading as it is.
    now(reading, value) "{reading}, now {value}";
    /// Of a reading that stands still.
    nothing_moves(now) "{now}: nothing here moves it";
    /// Of a point where all stand still.
    NOTHING_MOVES_THESE "Nothing here moves these readings.";
    /// Under a picture.
    bars(now) "{now}: bars are per cent of the reading per per cent of the quantity.";
    /// Of a point that the engine does not reach.
    no_answer(why) "no answer: {why}";
    /// Of a derivative at a stop.
    one_sided(stop) "one-sided: {stop}";
    /// Of a point at which a code reduces the torque.
    REDUCED "a trouble code has reduced the torque; the derivatives are those of the car so reduced";
}

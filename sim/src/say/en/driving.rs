//! How a car was driven.

crate::sentences! {
    idle() "idle";
    part_load() "part load";
    full_load() "full load";
    /// Pedal released, the car driving the engine.
    overrun() "overrun";
    at_speed(load, rpm) "{load} {rpm:.0} rpm";
    pull(rpm) "pull {rpm:.0} rpm";
    pull_at(rpm) "pull at {rpm:.0} rpm";
    /// Why a condition of a log is left out.
    out_of_reach(read, shown)
        "{read:.1} g/s was read, and at any load nearest to it the healthy car of the file counts {shown:.1} g/s";
    moving(kind, rpm, load) "{kind} moving at {rpm:.0} rpm, {load}";
    /// How steady windows are found.
    steady_rule()
        "steady: 5 s or more, after 2 s left out, in which the means over 1 s \
         (longer where a signal comes less often) stay within 3 % or 40 rpm of engine speed, 6 % \
         of load and 2 % of pedal travel; coolant at 70 °C or more where it is logged; windows of \
         one condition are put together";
}

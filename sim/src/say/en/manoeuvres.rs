//! What to drive next while a log is taken.

crate::sentences! {
    hold_idle()
        "Engine warm, car parked, brake on, out of gear, everything switched off, pedal released: two minutes.";
    hold_loaded_idle()
        "The same with headlights, blower and rear heater on: two minutes.";
    hold_cruise()
        "On a closed road or a roller in fourth gear, 2000 to 2500 rpm, pedal still: 30 seconds, three times.";
    hold_hill()
        "On a roller or a closed hill road in fourth gear, 2500 rpm, pedal about half and still: 20 seconds, twice.";
    hold_gentle()
        "On a roller or a closed road in third gear from 2000 to 4000 rpm, pedal a third down and still: once, \
         then a minute of light load.";
    hold_full()
        "On a roller or a closed road in third gear from 2000 to 5000 rpm or to the speed limiter, whichever \
         comes first, pedal fully down: once, five seconds at most, then two minutes of light load.";
    hold_overrun()
        "On a closed road in third gear from 3500 to 1500 rpm, pedal released, brakes off as long as it is safe: \
         three times.";
    record_these(readings) "time, engine speed, pedal, {readings}; ten rows a second, or as many as it gives";
    danger_open() "a danger is open: nothing loads the engine until it is past";
    not_before_it_is_calm()
        "first read again what fits nothing, or mend what makes it stall: nothing loads the engine before";
    danger_foreseen(danger) "{danger} is possible with a fault that is still likely";
    danger_elsewhere() "a fault that is still likely could be dangerous under load";
    beyond_boost() "boost could pass what a loaded test is broken off at";
    not_running() "the model's healthy car does not run there";
}

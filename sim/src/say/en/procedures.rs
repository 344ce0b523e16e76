//! Every check as a procedure: what protects, what is done, how it is read, when to stop, how all
//! is put back.

// What protects.
crate::sentences! {
    by_regulator(pressure) "regulator and relief valve at the supply, set at {pressure} kPa gauge";
    by_machine(pressure)
        "the smoke machine's own relief, which must open at {pressure} kPa gauge: cap and breather \
         are shut here, nothing else protects the crankcase";
    by_cap_off() "filler cap out: what passes the rings gets out";
    by_vent_open() "breather left open to the air";
    by_hand_pump(pressure)
        "a hand pump with a gauge and a relief valve that opens at {pressure} kPa gauge";
    by_standing() "the engine stands, and nothing is under pressure";
    by_idle() "idle only, car parked";
    by_second_person() "a second person reads, and says stop";
    protected_by(list) "What protects here: {list}.";
    /// Between two that protect.
    AND "; ";
}

// Putting back.
crate::sentences! {
    let_off() "Let the pressure off: the gauge reads 0 before anything is loosened.";
    engine_off() "Engine off, key out; wait until what is hot has cooled.";
    take_off_one(piece) "Take off again and count, 1 piece: {piece}.";
    take_off(count, pieces) "Take off again and count, {count} pieces: {pieces}.";
    shut_again(vents) "Put back: {vents}.";
    prove_brakes()
        "The brake servo's hose is free and on: press the pedal hard, start the engine, and the \
         pedal must give way under the foot. Not before does the car move. Look for codes.";
    look_again() "Start, let it idle outdoors or with the exhaust drawn off, look for codes and listen.";
}

// When to stop.
crate::sentences! {
    stop_at_pressure(pressure)
        "Stop above {pressure} kPa gauge, when a plug moves, when a hose swells, or when air is \
         heard where none should be: let the pressure off, then look.";
    stop_at_oil() "Stop when the dipstick lifts or oil shows at a seal.";
    stop_at_idle()
        "Stop when the engine races, misfires or nearly stalls, when the lamp of the engine computer \
         flashes, or when fuel is smelled: engine off.";
    stop_at_misfire()
        "Stop after two minutes at most, and at once when the lamp of the engine computer flashes, when \
         fuel is smelled, or when the catalyst smells hot or glows: engine off.";
    stop_at_load(boost, rpm, exhaust)
        "Foot off at once when boost passes {boost} kPa gauge, the engine {rpm:.0} rpm or, where it \
         is read, the gas before the turbine {exhaust:.0} °C, the mixture under boost is leaner \
         than the engine computer asks for by 0.05 lambda or leaner than lambda 1 at full load, \
         knock is heard, the coolant passes 110 °C, or any warning lamp comes on.";
    stop_at_fuel() "Stop when fuel drips or is smelled: ignition off, ventilate, wipe up.";
}

// Dangers of the work itself, said before its steps.
crate::sentences! {
    plugs_fly()
        "Plugs, clamps and hoses let go under pressure: eye protection, stand aside, raise it \
         slowly.";
    standing_cold()
        "Engine off, key out, cold: fans start by themselves, belts and turbo spin, exhaust is hot.";
    seals_of_crankcase()
        "The crankcase's shaft seals bear 3.4 kPa at most: never shut both cap and breather while \
         more than that can reach it.";
    smoke_and_fuel() "Smoke: only the machine maker's fluid, fresh air, no flames, no open fuel line.";
    idle_dangers()
        "The engine runs: parking brake on, wheels chocked, out of gear, exhaust drawn off; keep \
         hands, sleeves and hoses off belts, fans and hot parts.";
    road_dangers()
        "Only on a roller with fan and extraction, or on a closed road: the driver drives, a second \
         person reads and writes down. Nothing wrong may be known that this load makes worse (lean \
         mixture, too much boost, fuel leak, knock).";
    fuel_dangers()
        "Fuel burns and its vapour explodes: engine cold, no flame or spark, extinguisher at hand, \
         eyes and hands protected, rag under the joint.";
    rail_dangers()
        "Direct injection: the rail, its pump and its pipes hold up to hundreds of bar, which cut \
         skin. They are never opened here; their pressure is read on the scan tool.";
    cranking_dangers()
        "The engine is cranked: ignition and injection off by the maker's way, hands off belts, \
         rag over the spark plug holes, no flame.";
    spark_dangers()
        "Coils give tens of thousands of volts: key out before a coil or a lead is touched, and never \
         run a cylinder with its coil or plug hanging free; whoever wears a pacemaker stays away.";
    oil_and_gas_dangers() "Hot crankcase gas burns and is no air to breathe: fresh air, no flame.";
}

// Before every plan step that raises pressure.
crate::sentences! {
    raise_to(pressure) "Raise the pressure slowly, to {pressure} kPa gauge at most.";
    pump_to(pressure) "Pump up slowly, to {pressure} kPa gauge at most.";
    turn_by_hand(why)
        "Let the pressure off, gauge at 0; then turn the engine by hand at the crankshaft, spark and \
         injection off and a tag on the key that says so, gear out, {why}; hands off, and raise the \
         pressure again.";
    until_no_way_through() "until no cylinder stands with both valves open";
    to_least() "to the position that lets out least";
    until_smoke_stays() "until no smoke goes through";
}

// Checks of the running engine.
crate::sentences! {
    warm_idle()
        "Engine warm, closed loop, all consumers off, car parked: let it idle for two minutes, read \
         short-term and long-term trim.";
    clamp_one_by_one()
        "With padded pliers clamp one vacuum hose at the manifold, that of the brake servo among \
         them, for ten seconds; watch the trim; take the clamp off before the next hose.";
    clamp_falls() "The trim falls by three points or more with one hose shut: the leak is behind it.";
    clamp_ventilation()
        "With padded pliers clamp the hose from crankcase to manifold for a few seconds, breather hose \
         left on and open; watch the trim; take the clamp off.";
    union_set_up()
        "Engine off and cool: take the breather hose off, cap and clamp the stub at the \
         turbocharger and nothing else, lead the open end away from hot parts into a bottle.";
    crankcase_stays_open() "The crankcase end stays open to the air, into the bottle.";
    start_idle() "Start; idle only, do not rev.";
    union_read()
        "Watch the trim rise by the plain air that the crankcase ventilation (PCV) valve draws; \
         clearly less says that air came in at the union or the crankcase before.";
    swap_set_up() "Engine off, key out: fit a known good mass air flow sensor, the same part number.";
    swap_read() "Read trim and air at idle before and after: the trim goes back if the meter is at fault.";
    filter_set_up() "Engine off: open the air box, lift the element out.";
    filter_read() "Look at the element against a lamp; look for a crushed duct and a loose lid.";
    sensors_set_up() "Ignition on, engine standing for a minute.";
    sensors_read()
        "Manifold and boost pressure must both read the barometer, within 1.5 and 2.5 kPa.";
    fuel_set_up()
        "Pump fuse out; start and let it stall, crank once more: the feed's pressure is off. Then fit \
         the gauge in the low-pressure feed, between tank and engine.";
    fuel_fuse_in() "Fuse in, ignition on: look for drops before the engine is started.";
    fuel_read()
        "Read pressure at rest, at idle, and how fast it falls after engine off; delivery into a \
         measuring can by the maker's way. The rail of direct injection: on the scan tool only.";
    fuel_back() "Fuse out, let it stall again: pressure is off before the gauge comes out.";
    analyser_set_up() "Probe of the analyser in the tailpipe, exhaust tight and warm; let it idle.";
    analyser_read() "Lambda of the analyser against that of the scan tool, after a minute of steady idle.";
    spark_set_up()
        "Engine off, key out, cold: coils and spark plugs out and counted, the wells blown clean first. \
         Look for cracks, burn marks, oil or water in the well, a gap beyond the maker's.";
    spark_swapped()
        "Change coil and plug of the cylinder that misfires with those of another; all in again, counted, \
         by the maker's torque, every connector locked.";
    spark_read()
        "Let it idle for two minutes at most and count the misfires by cylinder: those that went along are \
         of plug or coil; those that stayed are of the injector or of compression.";
    turbo_set_up() "Take the inlet hose off the compressor, engine cold and off, key out.";
    turbo_read()
        "Turn the wheel with a finger: free, no rubbing. Rock it: a little play across is normal, \
         none along. Look at the blades and for oil.";
    compression_set_up()
        "Battery full, engine warm, oil filler cap off; injection and ignition off by the maker's \
         way, a tag on the key that says so; all spark plugs out and counted; gauge in one cylinder; \
         hold the throttle open by the maker's way.";
    compression_read()
        "Crank for six strokes, note the gauge, next cylinder: none more than a quarter below the \
         best.";
    compression_back() "Gauge out; spark plugs in, counted, by the maker's torque.";
    breather_set_up()
        "Engine off and cold: take off the breather hose, the hose from crankcase to manifold and the \
         crankcase ventilation (PCV) valve, and open the oil separator where it can be opened.";
    breather_read()
        "Look through hoses and separator: no sludge, water, ice or kink. Air from a hand bulb goes \
         through them freely, and through the valve towards the manifold only. Blocked: clean or \
         replace it, and read the crankcase's pressure again at idle.";
    gauge_before_catalyst()
        "Engine off and cold: fit a gauge on a metal pipe in the place of a sensor before the \
         catalyst, its hose away from hot parts and out of the wind.";
    gauges_at_cooler()
        "Engine off and cold: fit gauges before and behind the charge air cooler with clamped tees, \
         hoses away from hot parts.";
    pull_and_read(boost)
        "One pull of at most five seconds at full load; read at the highest boost, which stays at or \
         below {boost} kPa gauge; then roll off the load and let it cool for two minutes.";
    back_pressure_read() "A quarter above that of a healthy car says that the exhaust is restricted.";
    cooler_read() "The loss across the cooler, against that of a healthy car: more than half as much again says blocked.";
    fit_reader() "Scan tool in the diagnostic connector, its lead away from pedals and wheel.";
    fit_gauge() "Engine off and cold: fit the gauge or sensor, its hose away from hot and turning parts.";
    read_at_idle() "Let it idle warm for two minutes, then read.";
    read_at_cruise()
        "On a roller or a closed road hold the light load for half a minute; the second person reads.";
}

// A known hole.
crate::sentences! {
    hole_set_up()
        "Engine off: on a vacuum port of the manifold, not the brake servo's, put the cap with the drilled \
         hole, still shut by its stopper; secure it, and nothing loose that could be drawn in.";
    hole_read()
        "Idle warm for two minutes, read trim, air, manifold pressure and idle speed. Then pull the \
         stopper, wait a minute, read the same again; stopper in, and the first readings must come \
         back.";
    hole_meaning()
        "`workshop known-hole` says what this car should do; half as much says that meter or vehicle \
         file is off.";
}

// Sections by pressure.
crate::sentences! {
    duct_set_up()
        "Take the duct off meter and turbocharger, plug both its ends, plug secured; breather hose \
         off, its union at the turbocharger end plugged.";
    crankcase_vented() "The crankcase end of the breather stays open, filler cap out.";
    throttle_plugged() "Plug the throttle; flow goes in at a port of the manifold.";
    flow_or_fall() "Read the meter, or the fall of the gauge against the watch.";
}

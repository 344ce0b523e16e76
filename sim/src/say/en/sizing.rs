//! Ten numbers of a car that do not go together, and what would.

crate::sentences! {
    parts_of_cylinders(cylinders) "{cylinders} cylinders: give a whole number";
    cylinder_size(litres, fewest, most)
        "displacement and cylinders clash: {litres:.2} L a cylinder; 0.2 to 0.75 L is believed, \
         so {fewest} to {most} cylinders would fit";
    piston_speed(speed, piston, most)
        "rated speed and cylinder size clash: {speed} means a mean piston speed of {piston:.0} \
         m/s; at most {most} would fit";
    peak_near_rated(peak, rated, most)
        "peak-torque speed and rated speed clash: the torque peaks at {peak}, power at {rated}; \
         a peak-torque speed of at most {most} would fit";
    power_over_torque(torque, power, least)
        "rated power and peak torque clash: the power takes {torque} at its speed, above the \
         peak torque; at most {power} there, or a peak torque of at least {least}, would fit";
    torque_over_power(power, speed)
        "peak torque and rated power clash: the torque makes {power} at its own speed, above \
         the rated power; a peak-torque speed of at most {speed} would fit";
    torque_off_boost(boost, litres, low, high, asked, torque)
        "peak torque, displacement and peak boost clash: {boost} of boost on {litres:.2} L \
         gives {low} to {high}, not {asked}; a torque of about {torque} would fit";
    torque_off_boost_either(boost, litres, low, high, asked, other, torque)
        "peak torque, displacement and peak boost clash: {boost} of boost on {litres:.2} L \
         gives {low} to {high}, not {asked}; a boost of about {other}, or a torque of about \
         {torque} would fit";
    torque_off_size(litres, asked, low, high)
        "peak torque and displacement clash: {asked} from {litres:.2} L; turbocharged petrol \
         engines of that size give {low} to {high}, which would fit";
    plateau(from, end)
        "the torque's speeds clash: it begins at {from} and ends at {end}; an end above the \
         beginning would fit";
    does_not_run(failure)
        "the numbers clash: the car they lead to does not run steadily ({failure}); most often \
         a higher peak-torque speed or less peak boost would fit";
}

// Numbers beyond what a vehicle file may hold.
crate::sentences! {
    beyond_file(key, why)
        "the numbers lead outside what a vehicle file may say: {key}: {why}";
    no_such_key() "the vehicle file has no such key";
    no_rule() "no rule sizes it";
    out_of_range(value, range) "{value} is out of range ({range})";
}

// What a car made from them misses.
crate::sentences! {
    peak_torque() "peak torque";
    peak_torque_speed() "peak-torque speed";
    rated_power() "rated power";
    peak_boost() "peak boost";
    rated_boost() "boost at the rated speed";
    missed(what, asked, reached, share)
        "{what}: {asked} was given, the car has {reached} ({share:+.1} %)";
}

//! `across`.

use sim::sentences;

sentences! {
    /// Title.
    title(scenario) "Across speed and load: {scenario}";
    /// Of the pictures.
    BAND "The band is where 95 % of healthy cars of this make read: they differ in volumetric efficiency, meter, turbine \
        and the rest. A reading outside it is a finding; inside it proves nothing.";
    /// What it comes to: of a healthy car.
    ALONE_SAYS "A healthy car of this make, with where 95 % of such cars read.";
    /// Of a car that reads like a healthy one.
    NOTHING "No reading lies beyond where 95 % of healthy cars of this make read: by these readings alone it \
        may be one.";
    /// Of one that does not.
    beyond(loads) "Beyond where 95 % of healthy cars of this make read: {loads}.";
    /// At a load.
    beyond_at(load, readings) "at {load} {readings}";
    /// A reading: from which speed to which, and where it is the farthest.
    reading_beyond(reading, from, to, read, sound, at) "{reading} ({from:.0} to {to:.0} rpm; {read} where a \
        healthy car has {sound}, at {at:.0} rpm)";
    /// Head of a table of two cars.
    BESIDE "healthy car / this car; `!`: beyond where 95 % of healthy cars of its make read.";
    /// Head of a table of one car.
    ALONE "What it reads across engine speed.";
    /// Under a picture.
    at_load(reading, load) "{reading} at {load}; the band: 95 % of healthy cars.";
    /// Under the compressor map.
    map(celsius, pressure) "Where the compressor works at full load. Flow and speed are corrected to \
        {celsius:.0} °C and {pressure:.0} kPa. The map's own lines run from the surge line, left, to choke, \
        where it gives no pressure.";
    /// Where.
    at(load, rpm) "{load}, {rpm:.0} rpm";
}

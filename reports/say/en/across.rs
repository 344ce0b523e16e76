//! `across`.

use sim::sentences;

sentences! {
    /// Title.
    title(scenario) "Across speed and load: {scenario}";
    /// Of the pictures.
    BAND "The band is where 95 % of healthy cars of this make read: they differ in volumetric efficiency, meter, turbine \
        and the rest. A reading outside it is a finding; inside it proves nothing.";
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

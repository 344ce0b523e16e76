//! An invented drive, written with any columns: a minute of idling, a minute at 2500 rpm, a
//! pull, idling again. Numbers of no car; only their size is that of a petrol engine with a
//! turbo.

use std::fmt::Write;

/// A moment.
#[derive(Clone, Copy, Debug)]
pub struct Now {
    /// Row, from 0.
    pub row: usize,
    /// s.
    pub time: f64,
    pub rpm: f64,
    pub pedal: f64,
    pub throttle: f64,
    /// Manifold, kPa absolute; ambient is 100.
    pub manifold: f64,
    /// Before the throttle, kPa gauge.
    pub boost: f64,
    pub air: f64,
    pub road: f64,
    pub gear: f64,
    /// A little that comes and goes, -1 to 1.
    pub stir: f64,
}

/// Rows a second.
pub const RATE: f64 = 10.0;
/// Length, s.
pub const LENGTH: f64 = 170.0;

pub fn at(row: usize) -> Now {
    let time = row as f64 / RATE;
    let stir = f64::from(row as u32 * 7 % 13) / 6.0 - 1.0;
    let still = |rpm, pedal, throttle, manifold, boost, air, road, gear| Now {
        row,
        time,
        rpm: rpm + 3.0 * stir,
        pedal,
        throttle,
        manifold: manifold + 0.2 * stir,
        boost: boost + 0.2 * stir,
        air: air * (1.0 + 0.004 * stir),
        road,
        gear,
        stir,
    };
    match time {
        t if t < 60.0 => still(800.0, 0.0, 5.0, 32.0, 0.0, 2.6, 0.0, 0.0),
        t if t < 120.0 => still(2500.0, 22.0, 18.0, 70.0, 3.0, 18.0, 72.0, 4.0),
        t if t < 128.0 => {
            let built = ((t - 120.0) / 1.5).min(1.0);
            let rpm = 2200.0 + 350.0 * (t - 120.0);
            let boost = 90.0 * built;
            let air = rpm / 5000.0 * (100.0 + boost) * 0.75;
            still(rpm, 100.0, 100.0, 98.0 + boost, boost, air, rpm / 48.0, 3.0)
        }
        _ => still(800.0, 0.0, 5.0, 32.0, 0.0, 2.6, 0.0, 0.0),
    }
}

/// A column: header and what stands below it.
pub type Column<'a> = (&'a str, &'a dyn Fn(Now) -> String);

fn quoted(cell: &str) -> String {
    match cell.contains([',', '"']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.into(),
    }
}

/// The log with these columns.
pub fn written(columns: &[Column]) -> String {
    let line = |cells: Vec<String>| cells.join(",") + "\n";
    let mut text = line(columns.iter().map(|(head, _)| quoted(head)).collect());
    for row in 0..(LENGTH * RATE) as usize {
        let now = at(row);
        let _ = write!(
            text,
            "{}",
            line(columns.iter().map(|(_, cell)| quoted(&cell(now))).collect())
        );
    }
    text
}

/// Time, engine speed, pedal, road speed and coolant, to which a test puts its own.
pub fn with(more: &[Column]) -> String {
    let basis: [Column; 5] = [
        ("time [s]", &|n| format!("{:.1}", n.time)),
        ("engine speed [rpm]", &|n| format!("{:.0}", n.rpm)),
        ("pedal [%]", &|n| format!("{:.1}", n.pedal)),
        ("vehicle speed [km/h]", &|n| format!("{:.1}", n.road)),
        ("coolant temperature [degC]", &|n| {
            format!("{:.0}", 90.0 + n.stir)
        }),
    ];
    written(&[&basis, more].concat())
}

pub const LAMBDA: Column = ("lambda", &|n| format!("{:.3}", 1.0 + 0.004 * n.stir));
pub const TRIMS: [Column; 2] = [
    ("STFT [%]", &|n| format!("{:.1}", n.stir)),
    ("LTFT [%]", &|_| "1.6".into()),
];
pub const BOOST: Column = ("boost [kPa gauge]", &|n| format!("{:.1}", n.boost));
pub const MANIFOLD: Column = ("MAP [kPa abs]", &|n| format!("{:.1}", n.manifold));

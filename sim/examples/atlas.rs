use sim::control::Command;
use sim::network::*;
use sim::study::diagnose::{atlas::*, doubt::*};
fn main() {
    let text = std::fs::read_to_string("scenarios/vehicles/brindle-16.toml").unwrap();
    let v: Vehicle<f64> = toml::from_str(&text).unwrap();
    let amb = Ambient {
        pressure: 101325.0,
        temperature: 293.15,
        water_mole_fraction: 0.008,
    };
    let net = Network::new(v, vec![], amb, Command::IDLE);
    let conds = vec![
        Condition {
            name: "idle".into(),
            command: Command::IDLE,
            demand_doubt: 0.0,
        },
        Condition {
            name: "cruise".into(),
            command: Command::torque(250.0, 40.0),
            demand_doubt: 3.0,
        },
        Condition {
            name: "full".into(),
            command: Command::full_load(366.5),
            demand_doubt: 0.0,
        },
    ];
    let t = std::time::Instant::now();
    let doubt = CarDoubt::usual(&net, 1.0);
    let a = Atlas::new(&net, conds, doubt).unwrap_or_else(|e| panic!("{e:?}"));
    println!(
        "atlas {:?} suspects {} curves {} rungs {}",
        t.elapsed(),
        a.suspects.len(),
        a.curves.len(),
        a.curves.iter().map(|c| c.len()).sum::<usize>()
    );
    for s in &a.suspects {
        let c = &a.curves[s.curve];
        print!("{:38}", s.name());
        for r in c {
            print!(
                " {}",
                r.spots
                    .iter()
                    .map(|s| if s.is_some() { 'x' } else { '.' })
                    .collect::<String>()
            );
        }
        println!();
    }
}

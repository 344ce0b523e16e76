//! Leak shapes as they stand in a file.

use sim::leak::{BowedCover, Shape};

fn read(text: &str) -> Result<Shape, String> {
    toml::from_str(text).map_err(|e: toml::de::Error| e.message().to_owned())
}

#[test]
fn read_by_name() {
    let shape = read(
        "bowed_cover = { gap = \"15 thou\", span_length = \"60 mm\", spans = 4, depth = \"5 mm\" }",
    );
    let cover = BowedCover {
        gap: 0.381e-3,
        span_length: 0.06,
        spans: 4.0,
        depth: 5e-3,
        entrance_loss: 0.5,
    };
    assert_eq!(shape, Ok(Shape::BowedCover(cover)));
    assert_eq!(shape.map(|s| s.name()), Ok("bowed_cover"));
    let wrong = read("ring_gab = { }").unwrap_err();
    assert!(wrong.contains("did you mean `ring_gap`"), "{wrong}");
    let missing = read("round_hole = { }").unwrap_err();
    assert!(missing.contains("diameter"), "{missing}");
    assert!(read("").is_err());
    let two = read(
        "round_hole = { diameter = \"2 mm\" }\nporous = { area = \"1 cm2\", thickness = \"4 mm\", permeability = \"1e-7 mm2\" }",
    );
    assert!(two.unwrap_err().contains("one shape"));
}

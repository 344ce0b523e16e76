//! The few colours, each with one meaning, told apart in greyscale by lightness and width.

use plotters::style::RGBColor;

/// What a line or letter is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Letters, main lines.
    Text,
    /// Letters and lines of second rank: axes, thresholds.
    Quiet,
    /// Grid.
    Hair,
    /// The ground.
    Paper,
    /// The healthy car.
    Sound,
    /// The car with the fault.
    Faulty,
    /// A leak and what it carries.
    Leak,
    /// Where a healthy car may be.
    Band,
}

/// All of them: on light paper, on dark paper, name in style sheets.
const INKS: [(Ink, u32, u32, &str); 8] = [
    (Ink::Text, 0x1d_23_29, 0xe8_ec_ef, "text"),
    (Ink::Quiet, 0x59_64_6e, 0xa6_b1_ba, "quiet"),
    (Ink::Hair, 0xd3_da_df, 0x36_40_49, "hair"),
    (Ink::Paper, 0xff_ff_ff, 0x15_19_1d, "paper"),
    (Ink::Sound, 0x9a_a6_b0, 0x78_85_90, "sound"),
    (Ink::Faulty, 0x0b_4a_82, 0x82_c0_f7, "faulty"),
    (Ink::Leak, 0xb8_46_0e, 0xff_a0_66, "leak"),
    (Ink::Band, 0xe3_eb_f1, 0x23_31_3e, "band"),
];

impl Ink {
    fn light(self) -> u32 {
        INKS[self as usize].1
    }

    /// On light paper, for the drawing library.
    pub fn rgb(self) -> RGBColor {
        let [_, red, green, blue] = self.light().to_be_bytes();
        RGBColor(red, green, blue)
    }
}

/// The colours as style rules: names to use in a page, and drawings that follow them.
pub fn style() -> String {
    let names = |pick: fn(&(Ink, u32, u32, &'static str)) -> u32| -> String {
        let all = INKS.iter();
        all.map(|ink| format!("--{}:#{:06x};", ink.3, pick(ink)))
            .collect()
    };
    let (light, dark) = (names(|ink| ink.1), names(|ink| ink.2));
    let follow: String = (INKS.iter())
        .map(|(_, light, _, name)| {
            format!(
                "svg [fill=\"#{light:06X}\"]{{fill:var(--{name})}}\
                 svg [stroke=\"#{light:06X}\"]{{stroke:var(--{name})}}\n"
            )
        })
        .collect();
    format!(
        ":root{{color-scheme:light dark;{light}}}\n\
         @media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}\n{follow}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_in_the_order_of_the_names() {
        for (i, (ink, ..)) in INKS.iter().enumerate() {
            assert_eq!(*ink as usize, i);
        }
    }

    /// Contrast of letters on both papers: WCAG 2.2, 1.4.3 (4.5) and of lines 1.4.11 (3).
    #[test]
    fn letters_and_lines_stand_out_on_both_papers() {
        let luminance = |rgb: u32| {
            let part = |shift: u32| {
                let c = f64::from((rgb >> shift) & 0xff) / 255.0;
                if c <= 0.04045 {
                    c / 12.92
                } else {
                    ((c + 0.055) / 1.055).powf(2.4)
                }
            };
            0.2126 * part(16) + 0.7152 * part(8) + 0.0722 * part(0)
        };
        let contrast = |a: u32, b: u32| {
            let (a, b) = (luminance(a), luminance(b));
            (a.max(b) + 0.05) / (a.min(b) + 0.05)
        };
        for (ink, least) in [
            (Ink::Text, 4.5),
            (Ink::Quiet, 4.5),
            (Ink::Faulty, 4.5),
            (Ink::Leak, 4.5),
            // The ghost is the quietest line; it is wide, and named.
            (Ink::Sound, 2.4),
        ] {
            let (_, light, dark, name) = INKS[ink as usize];
            let (_, paper, night, _) = INKS[Ink::Paper as usize];
            assert!(contrast(light, paper) > least, "{name} on light paper");
            assert!(contrast(dark, night) > least, "{name} on dark paper");
        }
        // In greyscale the two cars differ by more than a line from its paper.
        let [sound, faulty] = [Ink::Sound, Ink::Faulty].map(|ink| INKS[ink as usize].1);
        assert!(contrast(sound, faulty) > 3.0);
    }
}

//! What is wrong with a ring in its gland.

crate::sentences! {
    no_seal() "the ring does not reach across: it does not seal at all";
    no_seal_far_side() "the ring does not reach across on the far side: it does not seal at all";
    loose(squeeze) "squeeze {squeeze:.1} % is below 15 %: seals poorly once set";
    loose_far_side(squeeze)
        "squeeze {squeeze:.1} % on the far side is below 15 %: seals poorly once set";
    tight(squeeze) "squeeze {squeeze:.1} % is above 30 %: hard to fit, sets early";
    tight_near_side(squeeze)
        "squeeze {squeeze:.1} % on the near side is above 30 %: hard to fit, sets early";
    stretched(stretch) "stretch {stretch:.1} % is above 5 %: thins and cracks";
    loose_on_seat(percent) "the ring is {percent:.1} % loose on its seat";
    overfilled(fill) "fill {fill:.1} % is above 85 %: no room to swell or grow warm";
}

//! `workshop verify`.

use sim::sentences;

sentences! {
    /// Before a danger on the customer's record.
    DANGER_STILL "Danger. ";
    /// One that forbids to load the engine.
    not_to_be_loaded(danger, threat) "After this work the car still shows a danger: {danger}. {threat}. Do not drive \
        it hard: no full throttle, no fast road, no towing, until the workshop has found the cause and says so.";
    /// One that forbids to drive.
    not_to_be_driven(danger, threat) "After this work the car still shows a danger: {danger}. {threat}. Do not drive \
        it until the workshop has found the cause and says so.";
    /// Head of the part about car and work.
    RECORD "Car and work";
    /// A verdict.
    gone(name, was, worst) "The {name} is gone: {was} before, nothing that the readings can tell after, at most {worst}, with 90 % confidence.";
    /// A verdict.
    smaller(name, was, is) "The {name} is smaller but not gone: {was} before, {is} after, with 90 % confidence.";
    /// A verdict.
    still(name, was, is) "The {name} is still there: {was} before, {is} after; what was mended was not it, or not all of it.";
    /// A verdict.
    not_seen_before(name, was) "The readings before the repair do not show the {name} ({was}), so nothing can be said of its mending: another fault may have been behind the complaint.";
    /// A verdict.
    open(name, was, is) "The {name} showed before ({was}), but the readings after cannot tell whether it is gone ({is}): read more, or more exactly.";
    /// What is left.
    nothing_left(worst) "Left: nothing that shows; anything worse than {worst} would have shown";
    /// What is left.
    left(size) "Left: {size}, with 90 % confidence";
    /// It goes on.
    EVEN_THAT "; even that would change nothing that workshop instruments show in the running car.";
    /// Of the rest.
    always_fits(when) "{when}: one reading always fits, so it does not show whether anything else is wrong";
    /// Of the rest.
    explained(when, chance) "{when}: explained, the readings scatter about the model no more than their uncertainties allow (chance {chance:.0} %)";
    /// Of the rest.
    not_explained(when, chance, worst) "{when}: NOT explained (chance {chance}){worst}: another fault, or uncertainties stated too small";
    /// Of the rest.
    worst(what, off) "; most of all {what}, {off:+.1} standard uncertainties off";
    /// Of the rest.
    HARDLY_ANY "below 0.1 %";
    /// Of the part that follows.
    LARGEST "The part on the running car shows the largest leak that may be left.";
    /// Head of the table.
    READINGS "What was read, its standard uncertainty, and what the model gives with the size that fits and for a healthy \
              car; last, reading minus fit in standard uncertainties.";
    /// Head of the table in the customer's record.
    COMPARED "Each reading may be off a little, by about the uncertainty beside it. `Healthy` is what a car of this \
              kind reads with nothing wrong.";
    /// Under the picture.
    SHIFTS "Each reading before and after the repair, as far from the model's healthy car as its \
            uncertainty is long; within the band nine of ten readings of a healthy car would lie.";
    /// Under the table there, where the sheet has no room for all.
    more(count) "And {count} more readings, which the workshop keeps.";
    /// Under the picture in the customer's record.
    PICTURED "How far each reading is from that of a healthy car: dot before the repair, ring after it. Nine of ten \
              readings of healthy cars lie in the band.";
    /// Whether the readings fit, in the customer's record.
    fits(when) "{when} the repair the readings agree with one another.";
    /// The same, where there is one reading only.
    alone(when) "{when} the repair there is one reading only, which nothing else confirms.";
    /// The same, where they do not.
    does_not_fit(when) "{when} the repair the readings do not all agree with one fault: something else may be wrong as \
                        well, or a reading was off. Ask the workshop what it is.";
    /// A warning.
    NOT_ALIKE "before and after were not read alike: take the same readings at the same points, then \
               what the model has wrong about this car shows in both";
    /// A warning.
    NO_LIMIT "the readings after set no upper limit to what is left: read something that it moves";
    /// A caution.
    MODEL "The model is that of the vehicle file named here, not this very car: where it does not fit, \
           the reading's `model_doubt` must say how far it may be off.";
    /// A caution.
    ROAD "Before the car is handed over: no code may be left set, and no smell of fuel or exhaust; \
          watch the mixture on a first run before full load is asked for.";
}

/// What the customer should know.
pub const NOTES: [&str; 4] = [
    "Come back if a warning lamp lights, the idle wanders, power falls off, something whistles, or \
     it smells of fuel or exhaust. Exhaust gas is poisonous and fuel vapour burns: then do not \
     drive on.",
    "An engine that is short of fuel at full load can destroy itself: ease off at once if it \
     knocks, hesitates or surges.",
    "Sizes and readings are measured, so each is given with limits: in nine cases of ten the true \
     value lies between them.",
    "`Healthy` comes from a computer model of a car of this kind, not from this very car.",
];

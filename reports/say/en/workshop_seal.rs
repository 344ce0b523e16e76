//! `workshop seal`.

use sim::sentences;

sentences! {
    /// Of the ring at hand.
    at_hand_fits(squeeze) "the ring at hand fits: squeeze {squeeze}";
    /// Of the ring at hand.
    at_hand_does_not(faults) "the ring at hand does not fit: {faults}";
    /// Of the series.
    none_fits(metric, inch) "no size of the series is within the limits; nearest are {metric} and {inch}";
    /// Of the series.
    fits(rings) "of the sizes sold, {rings} fits this gland";
    /// What is missing.
    PIPE_NEEDED "with a `pipe_diameter` the sizes that fit would be named";
    /// Of a ring cut from a larger one.
    cord(needed) "as an emergency measure, {needed:.1} mm of the larger ring are needed";
    /// Of a used ring.
    used(set, left, verdict) "the used ring has taken a set of {set:.0} % and keeps {left:.1} % squeeze: {verdict}";
    /// It is spent.
    REPLACE "replace it";
    /// It is not.
    SPRINGS_BACK "it still springs back";
    /// Of a gasket.
    gasket(least, sheet) "this bow needs a gasket of at least {least} mm: {sheet}";
    /// What is sold.
    next_sheet(thickness) "the next sheet is {thickness} mm";
    /// Nothing is.
    NO_SHEET "no sheet as sold is thick enough";
    /// Of the gasket at hand.
    crushed(crush) "the gasket at hand is crushed by {crush:.1} % half-way";
    /// The same.
    NOT_TOUCHING "the gasket at hand does not touch half-way";
    /// Of a ring cut from a larger one.
    EMERGENCY "a ring cut and glued from a larger one is an emergency measure to get home: cut at a \
               slant, glue with the rubber's own cement, joint away from load; replace it by a \
               moulded ring. Not for fuel, not for exhaust.";
    /// Of a gasket.
    TOO_THICK "so thick a gasket creeps and is blown out: flatten the face (or fit a formed seal) \
               instead of filling it";
    /// By what rings are judged.
    LIMITS "Limits: static joints: squeeze 15 to 30 %, stretch up to 5 %, fill up to 85 % (ISO 3601-2 \
            and handbooks, typical values, not checked against their text); metric sizes as commonly sold, inch sizes by dash number.";
    /// Under the picture.
    GLAND "Sections in the gland before the joint is closed, all to one scale: what stands out of the \
           gland is squeezed.";
    /// Head of the table.
    RINGS "Rings in this gland; least and most squeeze differ where the pipe stands off the middle.";
    /// Head of the table.
    MEASURES "Measures, as far as they were asked for.";
}

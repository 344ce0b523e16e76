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
    /// The same where its section when new is not known.
    used_sold(left, sections, verdict) "the used ring keeps {left:.1} % squeeze (of the sections sold, it had {sections} mm when new): {verdict}";
    /// The same where none that is sold is like it.
    used_unsold(left, verdict) "the used ring keeps {left:.1} % squeeze: {verdict}";
    /// What a used ring was, where nothing else is at hand.
    used_alone(sections) "of the sections sold, the used ring had {sections} mm when new; whether it still seals needs the depth of its gland: measure `gland_depth`, or pipe and bore";
    /// The same where none that is sold is like it.
    USED_ALONE_UNSOLD "no section as sold is like that of the used ring; whether it still seals needs the depth of its gland: measure `gland_depth`, or pipe and bore";
    /// What passes it now.
    leaks(gap, hole) "it leaves a gap of up to {gap} mm, which leaks no more than a hole of {hole} mm";
    /// The same where the pipe is not known.
    gapes(gap) "it leaves a gap of up to {gap} mm: with `pipe_diameter` the leak's size would be said";
    /// Nothing does.
    TOUCHES "it still touches all round, so that nothing passes a joint that stands still";
    /// Which rings belong there, where only the gland's depth is known.
    sections(sections) "this gland takes rings with a section of {sections} mm";
    /// None does.
    NO_SECTION "no section as sold is squeezed within limits by this gland";
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
    SOLD "What the used ring may have been: sections that are sold.";
    /// Head of the table.
    RINGS "Rings in this gland; least and most squeeze differ where the pipe stands off the middle.";
    /// Head of the table.
    MEASURES "Measures, as far as they were asked for.";
}

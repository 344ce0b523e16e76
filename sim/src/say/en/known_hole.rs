//! A hole of known size at a vacuum port of the idling engine: what it says.

// What it means, a clause.
crate::sentences! {
    as_predicted()
        "the car answers this known air as its vehicle file says: meter, trim and file agree, and \
         any other trim that it shows is real air or real fuel";
    meter_reads(percent)
        "the air counted falls by {percent:.0} % of what went past the meter, while the trim answers \
         as predicted: the mass air flow sensor is off by that share";
    file_breathes(read, file)
        "the meter is right, but the trim's answer belongs to {read:.2} g/s through the meter at \
         idle, where the vehicle file has {file:.2}: the file is off, or something else loads or \
         slows the idle";
    trim_alone_less(times)
        "the trim answers {times:.2} times as predicted: meter or vehicle file off, or the trim \
         did not settle; read the air counted as well, which tells them apart";
    hole_not_as_said(times)
        "trim and air counted both answer {times:.2} times as predicted: the hole is not the size \
         that was said, partly shut, or the port is not open to the manifold";
    no_answer()
        "neither trim nor air answers: the port or the hole is shut, or the engine is not in closed \
         loop";
    both_off()
        "trim and air counted are both off, and not alike: more than one thing is wrong; check hole \
         and closed loop, then read again";
    not_by_trim()
        "this car counts its air by manifold pressure: the trim hardly moves, whatever the hole, and \
         tells nothing of a meter";
    nothing_read() "nothing was read yet";
}

// What is predicted.
crate::sentences! {
    trim_at_stop(lambda)
        "with this hole the trim comes to its stop (lambda {lambda:.2}) and says too little: take a \
         smaller one";
    idle_races(rpm)
        "with this hole the idle governor is at its stop and the idle rises by {rpm:.0} rpm: take a \
         smaller one";
    idle_may_race()
        "in some cars of this make the idle governor comes to its stop with this hole: where the \
         idle speed rises, take a smaller one";
    too_small()
        "so small a hole moves the trim by less than an idle wanders by itself: take a larger one";
}

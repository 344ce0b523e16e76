"""The network's right-hand side in plain Python, for SciPy's solvers.

A hand port of the equations in sim/src, in their order of operations, for what the
benchmark runs: air-flow meter, plumbed-back recirculation valve, closed-loop boost,
held crank speed, pedal, one round hole in the cold pipe. The numbers (vehicle, gas
polynomials, ambient gas) come from the Rust side; solvers.py checks that the rates
agree before anything is timed. Plain floats: faster here than NumPy on short arrays.
"""

from math import cos, exp, log, pi, sqrt

CAPSULE, CHAMBER, FLOW, SHAFT, ENGINE, THROTTLE, GATE, VALVE = range(21, 29)
DUTY, METER, OXYGEN, TRIM, PEDAL, IDLE, IDLE_TRIM, PART_TRIM = range(29, 37)
CORRECTION, ARRIVED, CAR, FILTERED = range(37, 41)
STATES = 41

LAMINAR = 1e-4
CARRY = 0.02 * LAMINAR


def positive_part(x, width):
    return (x + sqrt(x * x + width * width)) * 0.5


def clamp(x, low, high, width):
    capped = high - positive_part(high - x, width)
    return positive_part(capped - low, width) + low


def held(x, least, most):
    if most < 1.0:
        x = most - positive_part(most - x, 0.01 * most)
    if least > 0.0:
        x = positive_part(x - least, 0.01 * (1.0 - least)) + least
    return x


def step(x, low, high):
    t = (x - low) / (high - low)
    if t <= 0.0:
        return 0.0
    if t >= 1.0:
        return 1.0
    return t * t * (3.0 - t * 2.0)


def limited_integrator(state, rate, low, high, tau):
    return (min(max(state + rate * tau, low), high) - state) / tau


def curve(points):
    """Monotone cubic curve through points (Fritsch and Carlson 1980), flat beyond."""
    n = len(points) - 1
    widths = [points[i + 1][0] - points[i][0] for i in range(n)]
    rises = [(points[i + 1][1] - points[i][1]) / widths[i] for i in range(n)]
    slopes = [0.0] * (n + 1)
    for i in range(1, n):
        if rises[i - 1] * rises[i] > 0.0:
            h0, h1 = widths[i - 1], widths[i]
            slopes[i] = (rises[i - 1] * h1 + rises[i] * h0) / (h0 + h1)
    for i, rise in enumerate(rises):
        if rise == 0.0:
            continue
        a, b = slopes[i] / rise, slopes[i + 1] / rise
        if a * a + b * b > 9.0:
            shorten = 3.0 / sqrt(a * a + b * b)
            slopes[i] *= shorten
            slopes[i + 1] *= shorten
    cubics = [
        (s, (r * 3.0 - s * 2.0 - e) / h, (s + e - r * 2.0) / (h * h))
        for h, r, s, e in zip(widths, rises, slopes, slopes[1:])
    ]

    def at(x):
        i = -1
        for point in points:
            if not point[0] <= x:
                break
            i += 1
        if i < 0:
            return points[0][1]
        if i >= n:
            return points[i][1]
        c1, c2, c3 = cubics[i]
        d = x - points[i][0]
        return ((d * c3 + c2) * d + c1) * d + points[i][1]

    return at


class Gas:
    __slots__ = ("p", "t", "f", "r", "g", "h")

    def __init__(self, p, t, f, r, g, h):
        self.p, self.t, self.f, self.r, self.g, self.h = p, t, f, r, g, h

    def density(self):
        return self.p / (self.r * self.t)

    def at_pressure(self, p):
        return Gas(p, self.t, self.f, self.r, self.g, self.h)


def above(x, width):
    if x <= -width:
        return 0.0
    if x >= width:
        return x
    t = x + width
    return t * t / (4.0 * width)


class Medium:
    """The mixture; its polynomials are attributes given by the Rust side."""

    def __init__(self, numbers):
        self.__dict__.update(numbers)
        self.per = 1.0 + self.air_fuel_ratio

    def blend(self, f):
        ratio = f * self.per
        excess = above(ratio - 1.0, 0.003)
        over = above(ratio - self.richest_ratio, 0.05)
        under = above(-0.1 - ratio, 0.05)
        return ratio - over + under, excess - over

    def along(self, t, blend):
        """Enthalpy, cp and its slope at a temperature."""
        i = 0
        for limit in self.limits:
            if t > limit:
                i += 1
        u, v = blend
        a, b, c = self.ranges[i]
        c0 = a[0] + u * b[0] + v * c[0]
        c1 = a[1] + u * b[1] + v * c[1]
        c2 = a[2] + u * b[2] + v * c[2]
        c3 = a[3] + u * b[3] + v * c[3]
        c4 = a[4] + u * b[4] + v * c[4]
        c5 = a[5] + u * b[5] + v * c[5]
        s = t * 1e-3
        s2 = s * s
        h = (c0 + c1 * s) + s2 * ((c2 + c3 * s) + s2 * (c4 + c5 * s))
        cp = (c1 + 2.0 * c2 * s) + s2 * ((3.0 * c3 + 4.0 * c4 * s) + s2 * (5.0 * c5))
        cp_t = (2.0 * c2 + 6.0 * c3 * s) + s * s * (12.0 * c4 + 20.0 * c5 * s)
        return h, cp * 1e-3, cp_t * 1e-6

    def spread(self, three, blend):
        return three[0] + blend[0] * three[1] + blend[1] * three[2]

    def solve(self, target, blend):
        """Temperature, enthalpy, cp, R at an internal energy."""
        r = self.spread(self.gas_constant, blend)
        start = self.spread(self.start_energy, blend)
        capacity = self.spread(self.start_capacity, blend)
        low, high = 50.0, 6000.0
        t = min(max(self.secant + (target - start) / capacity, low), high)
        h, cp, cp_t = self.along(t, blend)
        for _ in range(20):
            inverse = 1.0 / (cp - r)
            s = (target - (h - r * t)) * inverse
            if abs(s) < 1e-3:
                t += s
                h += cp * s
                cp += cp_t * s
                break
            bend = min(max(0.5 * s * cp_t * inverse, -0.5), 0.5)
            new = min(max(t + s * (1.0 - bend), low), high)
            if new == t:
                break
            t = new
            h, cp, cp_t = self.along(t, blend)
        return t, h, cp, r

    def in_volume(self, volume, mass, energy, fuel):
        f = fuel / mass
        t, h, cp, r = self.solve(energy / mass, self.blend(f))
        return Gas(mass / volume * (r * t), t, f, r, cp * (1.0 / (cp - r)), h)

    def enthalpy(self, t, f):
        return self.along(t, self.blend(f))[0]

    def cp(self, t, f):
        return self.along(t, self.blend(f))[1]

    def burnable(self, f):
        u, v = self.blend(f)
        return 1.0 - u + v

    def reading_lambda(self, f):
        return (1.0 / max(f, 1e-6) - 1.0) / self.air_fuel_ratio


def incipient(drop, g):
    q = 1.0 / g
    return q * drop * ((q * 7.0 - 5.0) * drop / 3.0 - 3.0) + 2.0


def laminar(drop, g):
    psi = sqrt(incipient(LAMINAR, g) * LAMINAR)
    q = 1.0 / g
    slope = (q * LAMINAR * ((q * 7.0 - 5.0) * LAMINAR - 6.0) + 2.0) / psi * 0.5
    secant = psi / LAMINAR
    c1 = (secant * 3.0 - slope) * 0.5
    x = drop / LAMINAR
    return drop * (c1 + (slope - secant) * 0.5 * x * x)


def flow_function(r, g):
    drop = 1.0 - r
    if drop < LAMINAR:
        return sqrt(drop * incipient(drop, g))
    if r < 0.61 and (r < 0.48 or r <= exp(log(1.0 / (g + 1.0) * 2.0) * (g / (g - 1.0)))):
        return sqrt(g * exp(log(1.0 / (g + 1.0) * 2.0) * ((g + 1.0) / (g - 1.0))))
    e = exp(log(r) / g)
    return sqrt(g * 2.0 / (g - 1.0) * e * (e - r))


def sharp_edged(r):
    return ((((r * -1.6827 + 4.6001) * r - 3.9) * r + 0.8415) * r - 0.1002) * r + 0.8414


def orifice(area, discharge, a, b):
    """Flow and share of side a; `discharge` None for a sharp edge."""
    if a.p >= b.p:
        up, down, sign, from_a = a, b, 1.0, 1.0
    else:
        up, down, sign, from_a = b, a, -1.0, 0.0
    t, r, g = up.t, up.r, up.g
    if abs(a.p - b.p) < LAMINAR * up.p:
        difference = (a.p - b.p) / up.p
        from_a = step(difference, -CARRY, CARRY)
        share = step(difference, -LAMINAR, LAMINAR)
        t = b.t + share * (a.t - b.t)
        r = b.r + share * (a.r - b.r)
        g = b.g + share * (a.g - b.g)
    ratio = max(down.p / up.p, 0.0)
    drop = (up.p - down.p) / up.p
    psi = laminar(drop, g) if drop < LAMINAR else flow_function(ratio, g)
    c = sharp_edged(ratio) if discharge is None else discharge
    return sign * (c * psi * up.p * area / sqrt(r * t)), from_a


def stream(flow, a, b):
    mass, share = flow
    if share == 1.0:
        return mass, mass * a.h, mass * a.f
    if share == 0.0:
        return mass, mass * b.h, mass * b.f
    return mass, mass * (b.h + share * (a.h - b.h)), mass * (b.f + share * (a.f - b.f))


def viscosity(t):
    return 1.458e-6 * t * sqrt(t) / (t + 110.4)


def duct(v, name):
    q = lambda key: v[f"{name}.{key}"]
    share = q("laminar_share") + 1e-7
    density = q("reference_pressure") / (287.05287 * q("reference_temperature"))
    unit = q("reference_loss") * density * 2.0 / (share + 1.0)
    factor = share / viscosity(q("reference_temperature"))
    reference = q("reference_flow")

    def flow(a, b):
        difference = (a.p - b.p) * (a.density() + b.density()) / unit
        viscous = viscosity((a.t + b.t) * 0.5) * factor
        root = sqrt(viscous * viscous + abs(difference) * 4.0)
        relative = difference * 2.0 / (viscous + root)
        return relative * reference, step(relative, -5e-3, 5e-3)

    return flow


def crossflow(units, ratio):
    ratio = max(ratio, 1e-6)
    other = units * ratio
    term_a, term_b = exp(-units), exp(-other)
    tail_a, tail_b = 1.0 - term_a, 1.0 - term_b
    total = tail_a * tail_b
    for m in range(1, 60):
        term_a = term_a * units / m
        term_b = term_b * other / m
        tail_a -= term_a
        tail_b -= term_b
        add = tail_a * tail_b
        total += add
        if add < 1e-13 * total:
            break
    return total / other


def filling(base, compression, manifold, exhaust):
    residual = (exhaust / manifold) ** (1.0 / 1.3)
    share = (compression - residual) / (compression - 1.0)
    return base * (positive_part(share - 0.1, 0.02) + 0.1)


class Network:
    """The benchmark's car; `rates(x, command, kept)` gives the 41 rates."""

    def __init__(self, parameters, medium, ambient_gas):
        self.v = v = parameters
        self.medium = Medium(medium)
        self.ambient = Gas(**ambient_gas)
        self.diameter = v["leak.0.round_hole.diameter"]

        def points(name):
            n = 0
            while f"{name}.{n}.0" in v:
                n += 1
            return curve([(v[f"{name}.{i}.0"], v[f"{name}.{i}.1"]) for i in range(n)])

        self.filling_table, self.boost_target = points("filling"), points("boost.target")
        self.gears = points("road.gears")
        self.filter, self.cooler = duct(v, "filter"), duct(v, "cooler")
        self.silencer = duct(v, "silencer")
        volumes = "inlet_duct hot_pipe cold_pipe manifold crankcase exhaust_manifold downpipe"
        self.sizes = [v[f"{name}.volume"] for name in volumes.split()]

    def rates(self, x, command, kept):
        v, medium, ambient = self.v, self.medium, self.ambient
        gases = [
            medium.in_volume(self.sizes[i], x[3 * i], x[3 * i + 1], x[3 * i + 2])
            for i in range(7)
        ]
        inlet, hot, cold, manifold, crankcase, exhaust, downpipe = gases
        atmosphere = ambient.p

        def signal(mass, volume):
            return ambient.at_pressure(mass * ambient.r * ambient.t / volume)

        capsule = signal(x[CAPSULE], v["wastegate.signal_volume"])
        chamber = signal(x[CHAMBER], v["recirculation_valve.signal_volume"])
        flow = x[FLOW]
        bore = v["inlet_duct.union_bore"]
        flux = flow / (bore * bore * (pi / 4.0))
        dynamic = flux * flux / (inlet.density() * 2.0)
        dynamic = dynamic / sqrt((dynamic / (inlet.p * 0.5)) ** 2 + 1.0)
        union = inlet.at_pressure(inlet.p - dynamic)

        s_filter = stream(self.filter(ambient, inlet), ambient, inlet)
        stage_pressure, torque_per_flow = self.compressor(inlet, flow, x[SHAFT])
        forward = step(flow, -2e-4, 2e-4)
        s_compressor = stream((flow, forward), inlet, hot)
        compressor_torque = torque_per_flow * flow * (forward * 2.0 - 1.0)
        compressor_power = compressor_torque * x[SHAFT]

        travel = v["recirculation_valve.travel"]
        seat = v["recirculation_valve.seat_diameter"]
        curtain = x[VALVE] * travel * seat * pi
        seat_area = seat * seat * (pi / 4.0)
        valve_area = curtain / sqrt((curtain / seat_area) ** 2 + 1.0)
        valve_area *= v["recirculation_valve.discharge_coefficient"]
        s_valve = stream(orifice(valve_area, 1.0, hot, inlet), hot, inlet)

        through = self.cooler(hot, cold)
        cooled = medium.enthalpy(self.cooled(hot, through[0]), hot.f)
        cooler_heat = through[0] * through[1] * (hot.h - cooled)
        s_cooler = stream(through, hot, cold)

        closed, opened = v["throttle.closed_angle"], v["throttle.open_angle"]
        angle = x[THROTTLE] * (opened - closed) + closed
        bore = v["throttle.bore"]
        plate = bore * bore * (pi / 4.0) * (1.0 - cos(angle) / cos(closed))
        area = (plate + v["throttle.closed_area"]) * v["throttle.discharge_coefficient"]
        s_throttle = stream(orifice(area, 1.0, cold, manifold), cold, manifold)

        # The engine computer.
        speed, pedal = x[ENGINE], x[PEDAL]
        idling, full = 1.0 - step(pedal, 0.01, 0.04), step(pedal, 0.80, 0.90)
        base = self.filling_table(speed)
        sensed = positive_part(manifold.p + v["meter.pressure_offset"], 10.0)
        load = positive_part(sensed - 0.5 * atmosphere, 1e4)
        assumed = load * speed / 600.0 * v["meter.assumed_back_pressure"] + atmosphere
        compression = v["cylinders.compression_ratio"]
        displacement = v["cylinders.displacement"]
        density = sensed / (manifold.t * ambient.r)
        pumped = filling(base, compression, sensed, assumed) * density * displacement * speed
        estimate = pumped / (4.0 * pi) * v["meter.filling_scale"]
        counted = positive_part(estimate * x[CORRECTION], 1e-6)
        resume = v["fuelling.overrun_resume_speed"]
        band = positive_part(v["fuelling.overrun_cut_speed"] - resume, 1.0)
        cut = step((speed - resume) / band, 0.0, 1.0) * idling
        boost = cold.p - atmosphere + v["boost.sensor_offset"]
        long = x[IDLE_TRIM] * idling + x[PART_TRIM] * (1.0 - idling)
        total_trim = (x[TRIM] + 1.0) * (long + 1.0) - 1.0

        commanded = full * (v["fuelling.full_load_lambda"] - 1.0) + 1.0
        wanted = counted / commanded / medium.air_fuel_ratio
        asked = wanted * (total_trim + 1.0) * (1.0 - cut)
        limit = v["fuelling.injector_limit"]
        injected = (1.0 - positive_part((limit - asked) / limit, 1e-5)) * limit
        fuel = injected * v["fuelling.delivery"]
        slow = 1.0 - speed / v["drive.idle_speed"]
        retard = v["drive.idle_retard"] - slow * v["drive.idle_spark_gain"]
        retard = clamp(retard, 0.0, 28.0, 0.5) * (idling * (1.0 - cut))

        cycle = self.cycle(manifold, exhaust.p, speed, base, fuel, retard)
        intake, blow_by, blow_by_h, out, out_h, out_f = cycle

        bore = v["crankcase.breather_bore"]
        breather = orifice(bore * bore * (pi / 4.0), 0.82, crankcase, union)
        s_breather = stream(breather, crankcase, union)
        vacuum = crankcase.p - manifold.p
        narrowing = step(vacuum, 5e3, 60e3)
        share = narrowing * (v["crankcase.valve_idle_share"] - 1.0) + 1.0
        area = step(vacuum, 0.0, 2e3) * share * v["crankcase.valve_area"]
        s_ventilation = stream(orifice(area, 0.82, crankcase, manifold), crankcase, manifold)

        gate = orifice(x[GATE] * v["wastegate.open_area"], 1.0, exhaust, downpipe)
        s_gate = stream(gate, exhaust, downpipe)
        turbine, turbine_torque = self.turbine(exhaust, downpipe, x[SHAFT])
        s_turbine = stream(turbine, exhaust, downpipe)
        turbine_power = turbine_torque * x[SHAFT]
        tailpipe = downpipe.at_pressure(atmosphere)
        s_silencer = stream(self.silencer(downpipe, tailpipe), downpipe, ambient)

        rate = (boost - x[FILTERED]) / v["boost.filter"]
        error = (self.boost_target(speed) - boost - rate * v["boost.lead"]) / 1e5
        start, least, most = v["boost.fixed_duty"], v["boost.least_duty"], v["boost.most_duty"]
        duty = error * v["boost.proportional"] + x[DUTY] + start
        duty = clamp(duty, least, most, 1e-3) * full

        def hose(bore, share, a, b):
            return stream(orifice(share * (bore * bore * (pi / 4.0)), 0.82, a, b), a, b)

        s_signal = hose(v["wastegate.restrictor_bore"], 1.0, hot, capsule)
        s_bleed = hose(v["wastegate.bleed_bore"], duty, capsule, inlet)
        s_chamber = hose(v["recirculation_valve.signal_bore"], 1.0, manifold, chamber)
        area = self.diameter * self.diameter * (pi / 4.0)
        s_leak = stream(orifice(area, None, ambient, cold), ambient, cold)

        # Balances.
        dx = [0.0] * STATES
        INLET, HOT, COLD, MANIFOLD, CASE, EXHAUST, DOWN = range(0, 21, 3)

        def give(i, s):
            dx[i] += s[0]
            dx[i + 1] += s[1]
            dx[i + 2] += s[2]

        def take(i, s):
            dx[i] -= s[0]
            dx[i + 1] -= s[1]
            dx[i + 2] -= s[2]

        def between(i, j, s):
            take(i, s)
            give(j, s)

        give(INLET, s_filter)
        between(INLET, HOT, s_compressor)
        between(HOT, INLET, s_valve)
        between(HOT, COLD, s_cooler)
        between(COLD, MANIFOLD, s_throttle)
        between(CASE, INLET, s_breather)
        between(CASE, MANIFOLD, s_ventilation)
        between(EXHAUST, DOWN, s_gate)
        between(EXHAUST, DOWN, s_turbine)
        take(DOWN, s_silencer)
        take(HOT, s_signal)
        dx[CAPSULE] += s_signal[0]
        dx[CAPSULE] -= s_bleed[0]
        give(INLET, s_bleed)
        take(MANIFOLD, s_chamber)
        dx[CHAMBER] += s_chamber[0]
        dx[HOT + 1] += compressor_power * forward
        dx[INLET + 1] += compressor_power * (1.0 - forward)
        dx[DOWN + 1] -= turbine_power
        take(MANIFOLD, (intake, intake * manifold.h, intake * manifold.f))
        give(EXHAUST, (out, out_h, out * out_f))
        give(CASE, (blow_by, blow_by_h, blow_by * out_f))
        dx[COLD + 1] -= cooler_heat
        air = ambient.t
        for i, gas, name in (
            (HOT, hot, "hot_pipe"),
            (COLD, cold, "cold_pipe"),
            (MANIFOLD, manifold, "manifold"),
        ):
            warmer = gas.t - air - v[name + ".wall_above_ambient"]
            dx[i + 1] -= warmer * v[name + ".wall_conductance"]
        warmer = crankcase.t - v["crankcase.wall_temperature"]
        dx[CASE + 1] -= warmer * v["crankcase.wall_conductance"]
        dx[EXHAUST + 1] -= (exhaust.t - air) * v["exhaust_manifold.wall_conductance"]
        dx[DOWN + 1] -= (downpipe.t - air) * v["downpipe.wall_conductance"]
        give(COLD, s_leak)

        # Machines.
        dx[FLOW] = (stage_pressure - hot.p) * v["compressor.duct_area_over_length"]
        reference = v["shaft.reference_speed"]
        bearing = x[SHAFT] * (v["shaft.bearing_loss"] / (reference * reference))
        dx[SHAFT] = (turbine_torque - compressor_torque - bearing) / v["shaft.inertia"]
        dx[ENGINE] = (command["speed"] - speed) / 0.05
        metres = v["road.wheel_radius"] / self.gears(float(command["gear"]))
        dx[CAR] = (speed * metres - x[CAR]) / 0.05
        q = lambda key: v["wastegate." + key]
        force = (capsule.p - atmosphere) * q("capsule_area")
        force = force + (exhaust.p - downpipe.p) * q("flap_area") - q("preload")
        lift = clamp(force / q("stiffness") / q("travel"), 0.0, 1.0, 0.01)
        lift = held(lift, q("least_opening"), q("most_opening"))
        dx[GATE] = (lift - x[GATE]) / q("time_constant")
        q = lambda key: v["recirculation_valve." + key]
        force = (hot.p - inlet.p) * seat_area - (chamber.p - inlet.p) * q("diaphragm_area")
        lift = clamp((force - q("preload")) / q("stiffness") / travel, 0.0, 1.0, 0.01)
        lift = held(lift, q("least_opening"), q("most_opening"))
        dx[VALVE] = (lift - x[VALVE]) / q("time_constant")

        # What the computer keeps.
        metered = s_filter[0] * v["meter.meter_scale"]
        dx[METER] = (metered - x[METER]) / v["meter.time_constant"]
        stored = dx[INLET] + dx[HOT] + dx[COLD] + dx[MANIFOLD]
        trusted = positive_part(estimate, 1e-6)
        share = trusted / (trusted + v["meter.correction_flow"])
        passing = (x[METER] - stored) / trusted
        dx[CORRECTION] = (min(passing, 5.0) - x[CORRECTION]) / v["meter.correction_time"] * share
        reading = clamp(medium.reading_lambda(downpipe.f), 0.4, 4.0, 1e-4)
        leaving = positive_part(s_silencer[0], 2e-4)
        delay = downpipe.density() * v["fuelling.sensor_way"] / leaving + 2e-3
        dx[ARRIVED] = (reading - x[ARRIVED]) / delay
        seen = clamp(x[ARRIVED] + v["fuelling.sensor_offset"], 0.5, 2.0, 1e-4)
        dx[OXYGEN] = (seen - x[OXYGEN]) / v["fuelling.sensor_time_constant"]
        useful = 1.0 - step(x[OXYGEN], 1.6, 1.9)
        loop = (1.0 - full) * (1.0 - cut) * useful
        limit = v["fuelling.trim_limit"]
        error_rate = clamp(x[OXYGEN] - 1.0, -0.15, 0.15, 1e-4) * v["fuelling.trim_gain"]
        moving = limited_integrator(x[TRIM], error_rate, -limit, limit, 1.0)
        dx[TRIM] = moving * loop - x[TRIM] * (1.0 - loop)
        exponent = v["drive.pedal_exponent"]
        asked = min(exp(log(positive_part(pedal, 1e-3)) * exponent), 1.0)
        idle = x[IDLE] + clamp(slow, 0.0, 0.5, 1e-4) * v["drive.idle_help"] * idling
        opening = idle + (1.0 - idle) * asked
        dx[THROTTLE] = (opening - x[THROTTLE]) / v["throttle.time_constant"]
        slowed = error / ((error / 0.15) ** 2 + 1.0)
        low, high = min(least - start, 0.0), max(most - start, 0.0)
        learn = limited_integrator(x[DUTY], slowed * v["boost.gain"], low, high, 0.2)
        forget = -x[DUTY] / v["boost.time_constant"]
        dx[DUTY] = learn * full + forget * (1.0 - full)
        dx[FILTERED] = (boost - x[FILTERED]) / v["boost.filter"]
        if command["pedal_rate"] == 0.0:
            dx[PEDAL] = (command["pedal"] - pedal) / 0.02
        else:
            dx[PEDAL] = command["pedal_rate"]
        governs = idling * (1.0 - cut)
        governed = clamp(slow, -0.25, 0.5, 1e-3) * v["drive.idle_gain"]
        least, most = v["drive.idle_least"], v["drive.idle_most"]
        governor = limited_integrator(x[IDLE], governed, least, most, 0.2)
        limit, learning = v["fuelling.learning_limit"], x[TRIM] * v["fuelling.learning_rate"]

        def learned(cell):
            return limited_integrator(x[cell], learning, -limit, limit, 1.0)

        cells = (
            (IDLE, governs, governor),
            (IDLE_TRIM, loop * idling, learned(IDLE_TRIM)),
            (PART_TRIM, loop * (1.0 - idling), learned(PART_TRIM)),
        )
        for i, (cell, share, rate) in enumerate(cells):
            back = 0.0 if kept is None else (kept[i] - x[cell]) / 1.0
            dx[cell] = rate * share + back * (1.0 - share)
        return dx

    def compressor(self, inlet, flow, speed):
        """Outlet pressure and torque per flow."""
        q = lambda key: self.v["compressor." + key]
        tip = speed * q("wheel_diameter") * 0.5
        tip_squared = tip * tip + 64.0
        tip_speed = sqrt(tip_squared)
        cp = inlet.r * inlet.g / (inlet.g - 1.0)
        mach = tip_speed / sqrt(inlet.g * inlet.r * inlet.t)
        diameter = q("wheel_diameter")
        phi = flow / (inlet.density() * tip_speed) / (diameter * diameter)
        surge = mach * q("surge_flow")
        choke = max(q("choke_flow") - mach * q("choke_flow_mach"), surge * 1.2)
        peak = q("peak_head") - mach * q("peak_head_mach")
        beyond = max(mach - 1.55, 0.0)
        peak = peak * exp(-(beyond * beyond * 2.0))
        dip = min(mach * mach * q("surge_dip"), 0.7)
        shut_off = peak * (1.0 - dip)
        if phi < 0.0:
            head = shut_off + phi * phi * q("reverse_head")
        elif phi < surge:
            s = phi / surge
            head = shut_off + (peak - shut_off) * s * s * (3.0 - s * 2.0)
        else:
            s = (phi - surge) / (choke - surge)
            head = peak if s < 1e-9 else peak * (1.0 - exp(log(s) * q("arc_exponent")))
        head = (head * tip_squared - peak * 64.0) * 0.5
        relative = head / (cp * inlet.t) + 1.0
        logarithm = log(relative) if relative > 0.1 else (relative - 0.1) / 0.1 + log(0.1)
        pressure = inlet.p * exp(logarithm * inlet.g / (inlet.g - 1.0))
        coefficient = q("work") - abs(phi) * q("work_flow")
        return pressure, coefficient * tip * diameter * 0.5

    def turbine(self, inlet, outlet, speed):
        """Flow and torque."""
        q = lambda key: self.v["turbine." + key]
        throat = outlet.at_pressure(sqrt(inlet.p * outlet.p))
        flow = orifice(q("throat_area"), 1.0, inlet, throat)
        cp = inlet.r * inlet.g / (inlet.g - 1.0)
        ratio = min(outlet.p / inlet.p, 1.0)
        drop = cp * inlet.t * (1.0 - exp(log(ratio) * (inlet.g - 1.0) / inlet.g))
        spouting = sqrt(positive_part(drop, 200.0) * 2.0)
        radius = q("wheel_diameter") * 0.5 / q("best_speed_ratio")
        per_flow = (spouting - radius * speed * 0.5) * radius * q("peak_efficiency")
        return flow, positive_part(flow[0], 1e-5) * per_flow

    def cooled(self, charge, flow):
        """Temperature behind the charge cooler."""
        q = lambda key: self.v["cooler_heat." + key]
        flow = positive_part(flow, 4e-4)
        charge_rate = flow * self.medium.cp(charge.t, charge.f)
        cold_rate = self.medium.cp(self.ambient.t, self.ambient.f) * q("cooling_air")
        least, most = min(charge_rate, cold_rate), max(charge_rate, cold_rate)
        film = (flow / q("reference_flow")) ** 0.8
        resistance = 1.0 / film * q("charge_share") - q("charge_share") + 1.0
        effectiveness = crossflow(q("conductance") / resistance / least, least / most)
        return charge.t - effectiveness * least / charge_rate * (charge.t - self.ambient.t)

    def cycle(self, manifold, exhaust, speed, base, fuel, retard):
        """Intake; blow-by and its enthalpy; exhaust, its enthalpy and fuel fraction."""
        q = lambda key: self.v["cylinders." + key]
        medium = self.medium
        compression, displacement = q("compression_ratio"), q("displacement")
        volumetric = filling(base * q("filling_share"), compression, manifold.p, exhaust)
        intake = volumetric * manifold.density() * displacement * speed / (4.0 * pi)
        air = intake * medium.burnable(manifold.f)
        lam = air / (fuel + 1e-9) / medium.air_fuel_ratio
        f = (intake * manifold.f + fuel) / (intake + fuel)
        total = intake + fuel
        reactants = intake * medium.enthalpy(298.15, manifold.f) + fuel * medium.fuel_enthalpy
        heat = reactants - total * medium.enthalpy(298.15, f)

        # Knock.
        heating = q("peak_pressure_ratio") ** 0.24
        end_gas, reference = heating * manifold.t, heating * 320.0
        ratio = (q("octane_number") / 95.0) ** (3.402 / 1.7)
        ratio *= exp((1.0 / end_gas - 1.0 / reference) * (3800.0 / 1.7))
        weaker = (clamp(lam, 0.6, 1.3, 0.02) - 0.9) * q("knock_lambda")
        onset = ratio * exp(-weaker) * q("knock_pressure")
        relief = 1.0 / end_gas * (3800.0 * 0.24) + 1.7
        retard += positive_part(log(manifold.p / onset) / relief * (1.7 / 0.026), 0.5)

        slow = (q("coolant_reference_flow") / (intake + 1e-5)) ** 0.2
        coolant = slow * q("coolant_share")
        richer = 1.0 / max(lam, 0.4) - 1.0
        width = 0.0286
        rounded = sqrt(richer * richer + width * width)
        side = richer / rounded
        slopes = (rounded - width) * 0.0877 + richer * 0.0052
        exponent = slopes + side * side * 0.0061 + side * 0.0014 + 0.2711
        share = 1.0 - exp(-(exponent * log(compression)))
        scatter = q("mixture_scatter")
        even = sqrt(richer * richer + 0.003 * 0.003)
        unmixed = (sqrt(richer * richer + scatter * scatter) - even) * 0.5
        off = 1.0 / max(lam, 0.4) - 1.21
        burning = positive_part(0.75 - off * off * 1.8, 0.05) + 0.25
        burning = 1.0 - burning ** (-4.0 / 3.0) * q("time_loss")
        spark = max(1.0 - retard * retard * 4.5e-4, 0.3)
        walls = 1.0 - (coolant - q("coolant_share")) * 0.4
        lean = step((lam - q("lean_limit")) / (q("no_fire") - q("lean_limit")), 0.0, 1.0)
        burned = (1.0 - lean) * step(lam, 0.45, 0.60)
        work = share * q("cycle_quality") * (1.0 - unmixed) * burning * spark * walls * burned
        cycles = speed / (4.0 * pi) * displacement
        gas_work = heat * work - (exhaust - manifold.p) * cycles
        coolant = heat * coolant
        blow_by = manifold.p / sqrt(manifold.r * manifold.t) * q("blow_by_area")
        blow_by_h = blow_by * medium.enthalpy(q("blow_by_temperature"), f)
        supplied = intake * manifold.h + fuel * medium.fuel_enthalpy
        leaving = (supplied - gas_work - coolant) / total
        out = total - blow_by
        return intake, blow_by, blow_by_h, out, leaving * out, f

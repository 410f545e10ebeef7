// What an atlas says of any sea: in the page the same interpolation as in the program (table.rs, blend.rs, contents.rs).
//
// openAtlas(data) takes the object that the program writes for pages. A system is
// { kind: "swell" or "wind-sea", hs_m, tp_s, off_wind_deg }, off_wind_deg where it comes from less where the wind does, clockwise.

export function openAtlas(data) {
  const MEAN_STAGES = data.stages.length - 1, HALVINGS = 16, ALL_BUT = 1 - 1e-6;
  const columns = data.tws_kn.length;

  // Numbers as they are packed: so many bytes each, least first, in base64; a value is from + step * number.
  function unpack({ from, step, bytes, data: text }) {
    const packed = atob(text), count = packed.length / bytes, values = new Float32Array(count);
    for (let i = 0; i < count; i += 1) {
      const low = packed.charCodeAt(bytes * i);
      values[i] = from + step * (bytes === 1 ? low : low + 256 * packed.charCodeAt(bytes * i + 1));
    }
    return values;
  }
  const tables = Object.fromEntries(data.tables.map((table) => [table.kind, {
    ...table,
    logs: { tp_s: table.tp_s.map(Math.log), greatest_hs_m: table.greatest_hs_m.map(Math.log) },
    squares: [0, ...table.height_parts.map((part) => part * part)],
    numbers: Object.fromEntries(Object.entries(table.numbers).map(([name, numbers]) => [name, unpack(numbers)])),
  }]));

  // What a flat sea has of a quantity.
  const calm = (quantity) => (quantity === "speed_sd_kn" || quantity === "riding_share" ? 0 : 1);

  // The node of a rising axis before a value, and how far it is to the next one; held at the ends.
  function position(axis, value) {
    let node = axis.findIndex((next) => next > value) - 1;
    if (node < 0) node = value < axis[0] ? 0 : axis.length - 2;
    node = Math.min(node, axis.length - 2);
    return [node, Math.min(1, Math.max(0, (value - axis[node]) / (axis[node + 1] - axis[node])))];
  }

  const tableOf = (system) => tables[system.kind === "swell" ? "swell" : "wind-sea"];

  // Where a system lies among periods and heights, whatever the heading.
  function place(system) {
    const table = tableOf(system), logTp = Math.log(system.tp_s);
    const [period, later] = position(table.logs.tp_s, logTp);
    const greatest = table.logs.greatest_hs_m;
    const greatest_hs_m = Math.exp((1 - later) * greatest[period] + later * greatest[period + 1]);
    const square = (system.hs_m / greatest_hs_m) ** 2;
    const periods = table.logs.tp_s;
    let beyond = null;
    if (logTp < periods[0] - 1e-9 || logTp > periods[periods.length - 1] + 1e-9) beyond = "period";
    else if (square > 1 + 1e-6) beyond = "height";
    return { table, period, later, greatest_hs_m, square: Math.min(1, square), off_wind_deg: system.off_wind_deg, beyond };
  }

  // Between her course and where the waves run, 0 following to 180 head, degrees.
  function waveAngle(off_wind_deg, signed_twa_deg) {
    const off = (off_wind_deg + signed_twa_deg) * Math.PI / 180;
    return 180 - Math.acos(Math.max(-1, Math.min(1, Math.cos(off)))) * 180 / Math.PI;
  }

  // The four curves around a system on a heading, as places within a cell's block, with weights.
  function corners(placed, signed_twa_deg) {
    const { table, period, later } = placed;
    const [angle, next] = position(table.wave_angle_deg, waveAngle(placed.off_wind_deg, signed_twa_deg));
    const heights = table.height_parts.length, angles = table.wave_angle_deg.length;
    const curves = [[0, 0], [0, 1], [1, 0], [1, 1]].map(([p, a]) => [
      ((period + p) * angles + angle + a) * heights,
      (p ? later : 1 - later) * (a ? next : 1 - next),
    ]);
    return { table, curves, square: placed.square };
  }
  const block = (table) => table.tp_s.length * table.wave_angle_deg.length * table.height_parts.length;

  function curveAt({ table, curves }, cell, quantity) {
    const numbers = table.numbers[quantity], start = cell * block(table), values = [calm(quantity)];
    for (let height = 0; height < table.height_parts.length; height += 1) {
      let sum = 0;
      for (const [curve, weight] of curves) sum += weight * numbers[start + curve + height];
      values.push(sum);
    }
    return values;
  }

  function at(corner, cell, quantity) {
    return straight(corner.table.squares, curveAt(corner, cell, quantity), corner.square);
  }

  function straight(squares, values, square) {
    const [node, next] = position(squares, square);
    return (1 - next) * values[node] + next * values[node + 1];
  }

  // The lowest factor up to a height squared, at most 1.
  function lowestTo({ squares, factor, square }) {
    let lowest = Math.min(1, straight(squares, factor, square));
    for (let node = 0; node < squares.length && squares[node] <= square; node += 1) lowest = Math.min(lowest, factor[node]);
    return lowest;
  }

  // The height squared at which a system alone first brings her down to a factor.
  function bringsTo({ squares, factor }, wanted) {
    let lowest = 1;
    for (let node = 1; node < squares.length; node += 1) {
      const value = factor[node];
      if (value < lowest) {
        if (value <= wanted) {
          const part = (factor[node - 1] - wanted) / (factor[node - 1] - value);
          return squares[node - 1] + (squares[node] - squares[node - 1]) * Math.min(1, Math.max(0, part));
        }
        lowest = value;
      }
    }
    return lowest < 1 ? squares[squares.length - 1] * (1 - wanted) / (1 - lowest) : Infinity;
  }

  // What a system gives back at a node of what it took, or gives beyond.
  function gain({ factor }, node) {
    const lowest = Math.min(1, ...factor.slice(0, node + 1));
    return lowest > 0 ? factor[node] / lowest : 1;
  }

  // The height squared at which a system alone first gives so much.
  function liftsTo(part, wanted) {
    const { squares } = part;
    let highest = 1, before = 1;
    for (let node = 1; node < squares.length; node += 1) {
      const value = gain(part, node);
      if (value >= wanted) {
        return squares[node - 1] + (squares[node] - squares[node - 1]) * Math.min(1, Math.max(0, (wanted - before) / (value - before)));
      }
      highest = Math.max(highest, value);
      before = value;
    }
    return highest > 1 ? squares[squares.length - 1] * (wanted - 1) / (highest - 1) : Infinity;
  }

  const shares = (parts, of) => parts.reduce((sum, part) => sum + part.square / of(part), 0);

  // What systems take together, without what any gives back.
  function lost(parts) {
    const worst = Math.min(1, ...parts.map(lowestTo));
    if (worst >= 1 && shares(parts, (part) => bringsTo(part, ALL_BUT)) <= 1) return 1;
    let low = 0, high = Math.min(worst, ALL_BUT);
    for (let i = 0; i < HALVINGS; i += 1) {
      const middle = 0.5 * (low + high);
      if (shares(parts, (part) => bringsTo(part, middle)) > 1) high = middle;
      else low = middle;
    }
    return low > 0 ? 0.5 * (low + high) : 0;
  }

  // What they give together.
  function gained(parts) {
    const own = parts.map((part) => {
      const lowest = lowestTo(part);
      return lowest > 0 ? straight(part.squares, part.factor, part.square) / lowest : 1;
    });
    let low = Math.max(1, ...own), high = 1;
    for (const part of parts) for (let node = 0; node < part.squares.length; node += 1) high = Math.max(high, gain(part, node));
    if (high <= low) return low;
    for (let i = 0; i < HALVINGS; i += 1) {
      const middle = 0.5 * (low + high);
      if (shares(parts, (part) => liftsTo(part, middle)) > 1) low = middle;
      else high = middle;
    }
    return low;
  }

  // What several systems make of a factor together.
  function together(parts) {
    if (!parts.length) return 1;
    if (parts.length === 1) return straight(parts[0].squares, parts[0].factor, parts[0].square);
    return lost(parts) * gained(parts);
  }

  // Stages that multiply to a factor: each takes in the proportion in which it takes alone.
  function scaled(stages, factor) {
    const worst = stages.indexOf(Math.min(...stages)), result = stages.slice();
    if (factor <= 0) {
      result[worst] = 0;
      return result;
    }
    const logs = stages.map((stage) => Math.log(Math.max(stage, Number.MIN_VALUE)));
    const sum = logs.reduce((a, b) => a + b, 0), target = Math.log(factor);
    if (Math.abs(sum) > 0.5 * logs.reduce((a, b) => a + Math.abs(b), 0) && sum * target > 0) {
      return logs.map((log) => Math.exp(log * target / sum));
    }
    result[worst] *= factor / Math.exp(sum);
    return result;
  }

  // Headings that are asked for: { tack, twa_deg, signed_twa_deg, number }, number among those computed.
  const headings = data.headings.map((heading, number) => ({ ...heading, number }));
  if (!data.both_sides) headings.push(...headings.map((heading) => ({ ...heading, tack: "port" })));
  for (const heading of headings) heading.signed_twa_deg = heading.tack === "port" ? -heading.twa_deg : heading.twa_deg;

  const placeAll = (systems) => systems.filter((system) => system.hs_m > 0).map(place);

  const whole = (around, number, quantity) => together(around.map((corner) => (
    { squares: corner.table.squares, factor: curveAt(corner, number, quantity), square: corner.square })));

  // What a cell of the polar becomes in a sea that is placed.
  function cell(placed, heading, column) {
    const number = heading.number * columns + column, flat_kn = data.flat_kn[number];
    const around = placed.map((system) => corners(system, heading.signed_twa_deg));
    const alone = (quantity) => around.map((corner) => at(corner, number, quantity));
    const product = (values) => values.reduce((a, b) => a * b, 1);
    const [mean, surge] = ["mean", "surge"].map((quantity) => whole(around, number, quantity));
    const stages = data.stages.slice(0, MEAN_STAGES).map((stage) => product(alone(stage)));
    return {
      tack: heading.tack, twa_deg: heading.twa_deg, tws_kn: data.tws_kn[column], flat_kn,
      factor: mean * surge,
      corrected_kn: mean * surge * flat_kn,
      stages: [...scaled(stages, mean), surge],
      speed_sd_kn: Math.hypot(...alone("speed_sd_kn")),
      riding_share: Math.max(0, ...alone("riding_share")),
    };
  }

  // Only the factor of cell().
  function factor(placed, heading, column) {
    const number = heading.number * columns + column;
    const around = placed.map((system) => corners(system, heading.signed_twa_deg));
    return whole(around, number, "mean") * whole(around, number, "surge");
  }

  // Headings of a tack around an angle that the polar holds, with weights.
  function headingsAt(signed_twa_deg) {
    const tack = signed_twa_deg < 0 ? "port" : "starboard";
    const own = headings.filter((heading) => heading.tack === tack);
    const [node, next] = position(own.map((heading) => heading.twa_deg), Math.abs(signed_twa_deg));
    return [[own[node], 1 - next], [own[node + 1], next]];
  }

  // Flat and corrected speed, kn, in any wind and at any signed angle within the polar, straight between its cells.
  function speed(systems, tws_kn, signed_twa_deg) {
    const placed = placeAll(systems), [column, next] = position(data.tws_kn, tws_kn);
    let flat_kn = 0, corrected_kn = 0;
    for (const [heading, ofHeading] of headingsAt(signed_twa_deg)) {
      for (const [at, ofColumn] of [[column, 1 - next], [column + 1, next]]) {
        const weight = ofHeading * ofColumn, own = data.flat_kn[heading.number * columns + at];
        if (weight > 0) {
          flat_kn += weight * own;
          corrected_kn += weight * own * factor(placed, heading, at);
        }
      }
    }
    return { flat_kn, corrected_kn };
  }

  // In what a sea lies outside the atlas: null, "period" or "height", with the system and what would lie within.
  function beyond(systems) {
    for (const system of systems.filter((one) => one.hs_m > 0)) {
      const placed = place(system);
      if (placed.beyond) return { what: placed.beyond, system, tp_s: placed.table.tp_s, greatest_hs_m: placed.greatest_hs_m };
    }
    return null;
  }

  // The sea that a steady wind raises over a fetch, m, in deep water: significant height, m, and peak period, s.
  function grown(tws_kn, fetch_m) {
    const { gravity_m_s2, energy, peak, developed } = data.growth, u = tws_kn * 1852 / 3600;
    const fetch = gravity_m_s2 * fetch_m / (u * u);
    const m0 = Math.min(energy * fetch, developed[0]), fp = Math.max(peak[0] * fetch ** peak[1], developed[1]);
    return { hs_m: 4 * Math.sqrt(m0) * u * u / gravity_m_s2, tp_s: u / (fp * gravity_m_s2) };
  }

  return { data, headings, columns, tables, place: placeAll, cell, factor, speed, beyond, grown };
}

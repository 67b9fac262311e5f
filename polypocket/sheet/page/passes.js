"use strict";
// Leafs through the passes: one at a time is drawn, from data that a page of two thousand passes can hold.
(() => {
  const book = JSON.parse(document.getElementById("book").textContent);
  const { passes, slabs, outlines, steps } = book;
  const by = (id) => document.getElementById(id);
  const [slider, count, title, plan, profile, body] =
    ["slider", "count", "pass-title", "plan", "profile"].map(by).concat(document.querySelector("#lines tbody"));
  const section = by("passes");
  if (!passes.length) { section.hidden = true; return; }

  // Rings as points in millimetres: the first one, then steps.
  const points = (ring) => {
    const list = [];
    for (let i = 0, x = 0, y = 0; i < ring.length; i += 2) {
      x += ring[i]; y += ring[i + 1];
      list.push([x / steps, y / steps]);
    }
    return list;
  };
  const data = (rings) => rings.map((ring) => "M" + ring.map(([x, y]) => x + " " + -y).join("L") + "Z").join("");
  const shapes = outlines.map((rings) => ({ rings: rings.map(points) }));
  for (const shape of shapes) shape.data = data(shape.rings);

  // Which outline each slab has after each pass.
  const standing = [];
  passes.reduce((before, pass) => {
    const now = before.slice();
    for (const [slab, outline] of pass.changes) now[slab] = outline;
    standing.push(now);
    return now;
  }, book.start);

  const make = (parent, name, attributes) => {
    const element = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    parent.append(element);
    return element;
  };

  // The view: the stock and a cutter's width round it.
  const stock = book.stock.map(points);
  const radii = Object.fromEntries(Object.entries(book.cutters).map(([number, radius]) => [number, radius / steps]));
  const widest = Math.max(...Object.values(radii));
  // A cut along the stock's longest diagonal has to fit as well.
  const reach = Math.max(...stock.flat().map(([x, y]) => Math.max(1.04 * Math.hypot(x, y), Math.abs(x) + 2.3 * widest, Math.abs(y) + 2.3 * widest)));
  const unit = reach / 100;
  plan.setAttribute("viewBox", [-reach, -reach, 2 * reach, 2 * reach].join(" "));
  const hatch = plan.querySelector("pattern");
  hatch.setAttribute("width", 2.6 * unit);
  hatch.setAttribute("height", 2.6 * unit);
  hatch.firstElementChild.setAttribute("d", `M0 0V${2.6 * unit}`);
  hatch.firstElementChild.setAttribute("stroke", "#141414");
  hatch.firstElementChild.setAttribute("stroke-width", 0.9 * unit);
  const line = { fill: "none", stroke: "#141414", "stroke-linejoin": "round" };
  const dash = (...parts) => parts.map((part) => part * unit).join(" ");
  make(plan, "path", { ...line, d: data(stock), "stroke-width": 0.35 * unit, "stroke-dasharray": dash(7, 1, 0.4, 1, 0.4, 1) });
  const floors = make(plan, "g", { ...line, "stroke-width": 0.7 * unit });
  const axes = `M${-reach} 0H${reach}M0 ${-reach}V${reach}`;
  make(plan, "path", { ...line, d: axes, "stroke-width": 0.25 * unit, "stroke-dasharray": dash(8, 1.2, 0.4, 1.2) });
  const strip = make(plan, "path", { ...line, fill: "url(#hatch)", "fill-rule": "evenodd", "stroke-width": 0.5 * unit });
  const links = make(plan, "path", { ...line, "stroke-width": 0.25 * unit, "stroke-dasharray": dash(1.2, 1.2) });
  const way = make(plan, "path", { ...line, "stroke-width": 0.5 * unit, "stroke-dasharray": dash(5, 1, 0.5, 1) });
  const cutter = make(plan, "circle", { ...line, "stroke-width": 0.35 * unit });
  const arrow = make(plan, "path", { fill: "#141414" });

  // Across the strip: height over the distance along the flat's normal.
  const low = slabs.length ? slabs[slabs.length - 1][0] : -1;
  const head = 6 * unit;
  profile.setAttribute("viewBox", [-reach, -head, 2 * reach, head - low + 4 * unit].join(" "));
  const edge = make(profile, "path", { fill: "#141414", stroke: "#141414", "stroke-width": 1.4 * unit, "stroke-linejoin": "miter" });
  const solid = make(profile, "path", { fill: "#e4e4e0", stroke: "none" });
  const bite = make(profile, "path", { ...line, fill: "url(#hatch)", "stroke-width": 0.5 * unit });
  const flute = make(profile, "path", { ...line, "stroke-width": 0.35 * unit, "stroke-dasharray": dash(5, 1, 0.5, 1, 0.5, 1) });

  // Where a line through `at` along `along` is inside of rings: from where to where, measured from the foot of the origin.
  const inside = (rings, [ax, ay], [dx, dy]) => {
    const crossings = [];
    for (const ring of rings) {
      ring.forEach(([x1, y1], i) => {
        const [x2, y2] = ring[(i + 1) % ring.length];
        const a = (x1 - ax) * dy - (y1 - ay) * dx, b = (x2 - ax) * dy - (y2 - ay) * dx;
        if ((a <= 0) !== (b <= 0)) {
          const t = a / (a - b);
          crossings.push((x1 + t * (x2 - x1)) * dx + (y1 + t * (y2 - y1)) * dy);
        }
      });
    }
    crossings.sort((a, b) => a - b);
    const spans = [];
    for (let i = 0; i + 1 < crossings.length; i += 2) spans.push([crossings[i], crossings[i + 1]]);
    return spans;
  };
  const box = ([left, right], [bottom, top]) => `M${left} ${-bottom}H${right}V${-top}H${left}Z`;

  const middle = (rings) => {
    // The middle of the longest ring's corners is near enough to cut the strip somewhere along its length.
    const ring = rings.reduce((a, b) => (b.length > a.length ? b : a));
    const sum = ring.reduce(([x, y], [u, v]) => [x + u, y + v], [0, 0]);
    return [sum[0] / ring.length, sum[1] / ring.length];
  };

  const draw = (index) => {
    const pass = passes[index], now = standing[index];
    const from = (values) => {
      const list = [];
      for (let i = 0; i < values.length; i += 2) list.push([values[i] / steps, values[i + 1] / steps]);
      return list;
    };
    // The lowest floor is the darkest.
    const seen = [];
    for (let slab = now.length - 1; slab >= 0; slab -= 1) if (seen[seen.length - 1] !== now[slab]) seen.push(now[slab]);
    floors.replaceChildren();
    seen.forEach((outline, i) => {
      const grey = 214 + Math.round((41 * (i + 1)) / seen.length);
      make(floors, "path", { d: shapes[outline].data, fill: `rgb(${grey},${grey},${grey - 2})`, "fill-rule": "evenodd" });
    });
    const taken = pass.strip.map(points);
    strip.setAttribute("d", data(taken));
    const open = (run) => "M" + run.map(([x, y]) => x + " " + -y).join("L");
    const runs = pass.paths.map(([cuts, values]) => [cuts, from(values)]);
    way.setAttribute("d", runs.filter(([cuts]) => cuts).map(([, run]) => open(run)).join(""));
    links.setAttribute("d", runs.filter(([cuts]) => !cuts).map(([, run]) => open(run)).join(""));
    const cut = (runs.find(([cuts]) => cuts) || runs[0] || [0, [[0, 0]]])[1];
    const radius = radii[pass.cutter];
    cutter.setAttribute("r", radius);
    cutter.setAttribute("cx", cut[0][0]);
    cutter.setAttribute("cy", -cut[0][1]);
    const [tip, tail] = [cut[cut.length - 1], cut[cut.length - 2] || cut[0]];
    let dx = tip[0] - tail[0], dy = tip[1] - tail[1];
    const length = Math.hypot(dx, dy) || 1;
    dx /= length; dy /= length;
    const size = 5 * unit;
    const back = [tip[0] - size * dx, tip[1] - size * dy];
    arrow.setAttribute("d", data([[tip, [back[0] - 0.22 * size * dy, back[1] + 0.22 * size * dx], [back[0] + 0.22 * size * dy, back[1] - 0.22 * size * dx]]]));

    const chord = [cut[cut.length - 1][0] - cut[0][0], cut[cut.length - 1][1] - cut[0][1]];
    const across = Math.hypot(...chord) || 1;
    let normal = [chord[1] / across, -chord[0] / across];
    const at = taken.length ? middle(taken) : [0, 0];
    if (normal[0] * at[0] + normal[1] * at[1] < 0) normal = [-normal[0], -normal[1]];
    const left = now.map((outline, slab) => inside(shapes[outline].rings, at, normal).map((span) => box(span, slabs[slab])).join("")).join("");
    edge.setAttribute("d", left);
    solid.setAttribute("d", left);
    const spans = inside(taken, at, normal);
    bite.setAttribute("d", pass.changes.map(([slab]) => spans.map((span) => box(span, slabs[slab])).join("")).join(""));
    const wall = cut.length > 1 ? ((tip[0] + cut[0][0]) * normal[0] + (tip[1] + cut[0][1]) * normal[1]) / 2 : 0;
    flute.setAttribute("d", `M${wall - radius} ${-head}V${-pass.z}H${wall + radius}V${-head}`);

    slider.value = String(index + 1);
    slider.setAttribute("aria-valuetext", `pass ${pass.number}: ${pass.title}`);
    count.textContent = `pass ${pass.number} of ${passes[passes.length - 1].number}`;
    title.textContent = pass.title;
    list(pass);
    tell(index);
  };

  const row = (cells, found) => {
    const element = document.createElement("tr");
    if (found) element.className = "found";
    for (const cell of cells) {
      const data = document.createElement("td");
      data.textContent = cell;
      if (String(cell).includes("(")) { data.colSpan = cells.length > 2 ? 1 : 4; data.className = "comment"; }
      element.append(data);
    }
    return element;
  };
  const list = (pass) => {
    const program = book.programs[pass.program];
    const ends = new Map(pass.moves.map(([number, ...place]) => [number, place]));
    const number = (value) => (value === null ? "–" : (value / 10 ** book.decimals).toFixed(book.decimals).replace(/^-(0\.?0*)$/, "$1"));
    const rows = [];
    for (let text = pass.lines[0]; text <= pass.lines[1]; text += 1) {
      const place = (ends.get(text) || []).map(number);
      rows.push(row([text, program.lines[text - 1], ...place], marked.has(`${program.name}:${text}`)));
    }
    body.replaceChildren(...rows);
  };

  const marked = new Set(book.findings.map((finding) => finding.place));
  const words = (finding) => `${finding.severity} ${finding.code}, ${finding.place}: ${finding.message}${finding.fix ? " – to do: " + finding.fix : ""}`;
  const tell = (index) => {
    by("pass-findings").replaceChildren(...book.findings.filter((finding) => finding.pass === index).map((finding) => {
      const item = document.createElement("li");
      item.textContent = words(finding);
      return item;
    }));
  };

  let current = 0, waiting = false;
  const show = (index) => {
    current = Math.max(0, Math.min(passes.length - 1, index));
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; draw(current); });
  };

  slider.max = String(passes.length);
  slider.addEventListener("input", () => show(Number(slider.value) - 1));
  const ways = { first: () => 0, last: () => passes.length - 1, back: () => current - 1, on: () => current + 1 };
  for (const button of document.querySelectorAll("[data-go]")) button.addEventListener("click", () => show(ways[button.dataset.go]()));
  const keys = { ArrowLeft: "back", ArrowRight: "on" };
  const inFlip = { ...keys, Home: "first", End: "last" };
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target === slider) return;
    // Home and End stay the page's own, unless the passes have the focus.
    const way = (event.target.closest(".flip") ? inFlip : keys)[event.key];
    if (way) { event.preventDefault(); show(ways[way]()); }
  });

  // #pass-12 opens pass 12.
  const open = () => {
    const wanted = /^#pass-(\d+)$/.exec(location.hash);
    if (!wanted) return false;
    const index = passes.findIndex((pass) => pass.number === Number(wanted[1]));
    if (index < 0) return false;
    show(index);
    section.scrollIntoView();
    return true;
  };
  addEventListener("hashchange", open);

  const all = by("all-findings");
  for (const finding of book.findings) {
    if (finding.pass === null) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = `pass ${passes[finding.pass].number}: ${words(finding)}`;
    button.addEventListener("click", () => { show(finding.pass); section.scrollIntoView(); });
    all.append(button);
  }
  // A program with an error opens at the pass where it shows.
  const first = book.findings.find((finding) => finding.severity === "error" && finding.pass !== null) || book.findings[0];
  if (!open()) { current = first && first.pass !== null ? first.pass : 0; draw(current); }
})();

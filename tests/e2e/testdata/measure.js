// Measures the phone's screen that is shown and answers with a list of what
// breaks its sizes, as JSON. All numbers are CSS pixels.
(() => {
  const least = { pad: 157, pad2: 94, control: 48, apart: 19, apartShort: 12 };
  const shortPhone = innerHeight <= 720;
  const slack = 0.5; // what rounding may take
  const broken = [];
  const dialog = document.querySelector("dialog[open]");
  const page = dialog ?? document.querySelector("#app");

  const nameOf = (e) => {
    const words = (e.getAttribute("aria-label") || e.innerText || e.textContent || e.tagName).replace(/\s+/g, " ").trim();
    return `${e.tagName.toLowerCase()}${e.classList.length ? `.${[...e.classList].join(".")}` : ""} "${words.slice(0, 40)}"`;
  };
  const shown = (e) => e.checkVisibility({ opacityProperty: true, visibilityProperty: true }) && !e.closest(".off");
  const round = (n) => Math.round(10 * n) / 10;
  const controls = [...page.querySelectorAll("button, a[href], input, select, textarea, label:has(input[type=radio], input[type=checkbox])")].filter(
    (e) => shown(e) && !(e.matches("input") && e.closest("label:has(input[type=radio], input[type=checkbox])")),
  );

  // a figure in a line of words, which WCAG 2.5.8 lets be as high as the line
  const inLine = (e) => e.matches(".asked:not(.alone)") && e.parentElement.innerText.trim() !== e.innerText.trim();

  // how large, and how far apart
  const pads = controls.filter((e) => e.matches(".pad, .pad2"));
  for (const e of controls) {
    const r = e.getBoundingClientRect();
    const want = e.matches(".pad") ? least.pad : e.matches(".pad2") ? least.pad2 : 0;
    if (want > 0 && (r.width < want - slack || r.height < want - slack))
      broken.push(`${nameOf(e)} is ${round(r.width)} × ${round(r.height)}, less than ${want} on each side`);
    if (want === 0 && r.height < least.control - slack && !inLine(e)) broken.push(`${nameOf(e)} is ${round(r.height)} high, less than ${least.control}`);
  }
  for (const [i, a] of pads.entries()) {
    for (const b of pads.slice(i + 1)) {
      const [p, q] = [a.getBoundingClientRect(), b.getBoundingClientRect()];
      const aside = Math.max(p.left - q.right, q.left - p.right, 0);
      const gap = Math.hypot(aside, Math.max(p.top - q.bottom, q.top - p.bottom, 0));
      const bigs = a.matches(".four-up .pad") && b.matches(".four-up .pad");
      const want = bigs && shortPhone ? least.apartShort : least.apart;
      if (gap < want - slack) broken.push(`${nameOf(a)} and ${nameOf(b)} are ${round(gap)} apart, less than ${want}`);
    }
  }

  // the boxes that may cut an element, from the inside out, up to a sheet
  const around = (e) => {
    const boxes = [];
    for (let up = e; up && up !== document.body; up = up.parentElement) {
      const style = getComputedStyle(up);
      if (style.overflowX !== "visible" || style.overflowY !== "visible") boxes.push({ up, style, cut: up.getBoundingClientRect() });
      if (up === dialog) break;
    }
    return boxes;
  };
  // what can be seen of a box
  const seen = (e, box) => {
    let [l, t, r, b] = [box.left, box.top, box.right, box.bottom];
    for (const { cut } of around(e)) [l, t, r, b] = [Math.max(l, cut.left), Math.max(t, cut.top), Math.min(r, cut.right), Math.min(b, cut.bottom)];
    return r - l > 1 && b - t > 1 ? { left: l, top: t, right: r, bottom: b } : null;
  };
  // the ink of a line of text is lower than its box: figures and capitals
  const ink = (r, size) => {
    const middle = (r.top + r.bottom) / 2;
    return { left: r.left, right: r.right, top: middle - 0.37 * size, bottom: middle + 0.37 * size };
  };
  const texts = [];
  const walker = document.createTreeWalker(page, NodeFilter.SHOW_TEXT);
  for (let n = walker.nextNode(); n; n = walker.nextNode()) {
    const e = n.parentElement;
    if (!n.data.trim() || !shown(e) || e.closest("option, svg")) continue;
    const range = document.createRange();
    range.selectNodeContents(n);
    for (const r of range.getClientRects()) if (r.width > 0) texts.push({ e, text: n.data, box: ink(r, Number.parseFloat(getComputedStyle(e).fontSize)) });
  }

  // no word is cut: by a box around it, or by the end of the screen
  // .case is the clinic's own label; the phone's menu has it whole
  const isName = (e) => e.closest(".person, .who .case, .zonepick span, .where button:not(.fixed)") !== null;
  const said = new Set();
  for (const { e, box } of texts) {
    const say = (words) => said.has(e) || (said.add(e), broken.push(`${nameOf(e)} ${words}`));
    const boxes = around(e);
    const held = boxes.some(({ style }) => style.overflowX !== "visible");
    if (!held && (box.left < -slack || box.right > innerWidth + slack)) say("ends outside of the screen");
    let named = false;
    for (const { up, style, cut } of boxes) {
      // an ellipsis is drawn in a block only; what it cuts stays cut in the boxes around
      named ||= style.textOverflow === "ellipsis" && !/flex|grid/.test(style.display) && isName(up);
      if (!named && (box.left < cut.left - 1 || box.right > cut.right + 1)) say(`is cut at the side by ${nameOf(up)}`);
      if (["auto", "scroll"].includes(style.overflowY)) break; // the rest is scrolled to
      if (box.top < cut.top - 1 || box.bottom > cut.bottom + 1) say(`is cut at the top or end by ${nameOf(up)}`);
    }
  }

  // no word sticks out of its button, and no name stands there unfilled
  for (const { e, box, text } of texts) {
    const button = e.closest("button, .pad, .pad2");
    const r = button?.getBoundingClientRect();
    const left = seen(e, box);
    if (r && left && (left.left < r.left - slack || left.right > r.right + slack)) broken.push(`${nameOf(e)} sticks out of ${nameOf(button)}`);
    if (/\{\w+\}/.test(text)) broken.push(`${nameOf(e)} has a name that nothing fills: ${text}`);
  }

  // a page that runs from right to left has its first things on the right
  // the left hand has what is at the thumb's side the other way round
  const rtl = document.documentElement.dir === "rtl";
  const left = document.documentElement.classList.contains("left");
  for (const row of page.querySelectorAll(".three, .four-up, .where, .own, .last, .under, .acts")) {
    const [a, b] = [...row.children].filter(shown).map((one) => one.getBoundingClientRect());
    if (a && b && a.top < b.bottom && b.top < a.bottom && a.left > b.left !== (rtl !== (left && row.matches(".three, .under, .last")))) broken.push(`${nameOf(row)} runs the wrong way`);
  }

  // nothing lies over anything else: words, pictures and controls
  const things = [
    ...texts.map(({ e, box }) => ({ e, box: seen(e, box), words: true })),
    ...[...page.querySelectorAll("svg:not(.bar, .watermark), img")].filter(shown).map((e) => ({ e, box: seen(e, e.getBoundingClientRect()) })),
    ...controls.map((e) => ({ e, box: seen(e, e.getBoundingClientRect()) })),
  ].filter((one) => one.box);
  for (const [i, a] of things.entries()) {
    for (const b of things.slice(i + 1)) {
      if (a.e === b.e || a.e.contains(b.e) || b.e.contains(a.e)) continue;
      const pinned = dialog?.querySelector(":scope > header"); // stays while the sheet scrolls under it
      if (pinned && pinned.contains(a.e) !== pinned.contains(b.e)) continue;
      const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
      const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
      if (wide > 1 && high > 1) broken.push(`${nameOf(a.e)} and ${nameOf(b.e)} overlap by ${round(wide)} × ${round(high)}`);
    }
  }

  // a station never scrolls, and hides nothing below its end
  const station = document.querySelector(".phone.station");
  if (station && !dialog) {
    const root = document.scrollingElement;
    if (root.scrollHeight > innerHeight || root.scrollWidth > innerWidth) broken.push(`the page scrolls: ${root.scrollWidth} × ${root.scrollHeight}`);
    if (station.scrollHeight > station.clientHeight + 1) broken.push(`the station is ${station.scrollHeight} high in ${station.clientHeight}`);
    if (station.scrollWidth > station.clientWidth + 1) broken.push(`the station is ${station.scrollWidth} wide in ${station.clientWidth}`);
    for (const e of controls) {
      const r = e.getBoundingClientRect();
      if (r.bottom > innerHeight + slack || r.right > innerWidth + slack) broken.push(`${nameOf(e)} ends outside of the screen`);
    }
  }
  return JSON.stringify(broken);
})();

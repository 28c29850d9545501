// Measures a wall by the angles under which its texts are seen, and answers with
// a list of what can not be read, as JSON. window.sight says how large the screen
// is and from how far it is seen, in mm: else 43 inches at five metres. Least
// angles of 16, 22 and 60 minutes of arc: ISO 9241-303 (from memory) asks for 16
// and prefers 20 to 22; the headline's is our own.
(() => {
  const cap = 0.74; // height of capitals and figures, of the font size
  const { diagonalMm, distanceMm } = window.sight ?? { diagonalMm: 1092, distanceMm: 5000 };
  const pixelMm = diagonalMm / Math.hypot(innerWidth, innerHeight);
  const minutes = (pixels) => (2 * Math.atan((pixels * pixelMm) / (2 * distanceMm)) * 180 * 60) / Math.PI;
  const least = { word: 16, figure: 22, head: 60 }; // minutes of arc
  const slack = 0.5;
  const broken = [];
  const wall = document.querySelector(".wall");
  const lines = [];
  const walk = document.createTreeWalker(wall, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const words = node.textContent.trim();
    const e = node.parentElement;
    if (words === "" || e.closest(".off, .w-over, svg") || !e.checkVisibility({ visibilityProperty: true })) continue;
    const high = cap * parseFloat(getComputedStyle(e).fontSize);
    const figure = e.closest("b") && !e.closest(".w-practised");
    const kind = figure && e.closest("h1") ? "head" : figure ? "figure" : "word";
    if (minutes(high) < least[kind] - 0.05) broken.push(`"${words}" is seen under ${minutes(high).toFixed(1)} minutes of arc, less than ${least[kind]}`);
    const cut = []; // what cuts off what lies outside of it
    for (let box = e; box !== wall; box = box.parentElement) if (getComputedStyle(box).overflowY !== "visible") cut.push(box.getBoundingClientRect());
    const range = document.createRange();
    range.selectNodeContents(node);
    // the ink of capitals lies within the middle three fifths of a line's box
    for (const r of range.getClientRects()) {
      const line = { words, left: r.left, right: r.right, top: r.top + 0.2 * r.height, bottom: r.bottom - 0.21 * r.height, lost: e.closest(".w-asof") };
      lines.push(line);
      if (cut.some((c) => line.top < c.top - 1 || line.bottom > c.bottom + 1 || line.left < c.left - 1 || line.right > c.right + 1)) broken.push(`"${words}" is cut`);
    }
  }
  for (const [i, a] of lines.entries()) {
    if (a.left < -slack || a.right > innerWidth + slack || a.top < -slack || a.bottom > innerHeight + slack) broken.push(`"${a.words}" leaves the wall`);
    for (const b of lines.slice(i + 1)) {
      if (Boolean(a.lost) !== Boolean(b.lost)) continue; // the band of a lost wall lies over the rest
      const aside = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const over = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (aside > 1 && over > 1) broken.push(`"${a.words}" lies over "${b.words}"`);
    }
  }
  for (const e of wall.querySelectorAll("*")) {
    if (e.textContent.trim() === "" || e.closest(".off, .w-over, svg")) continue;
    if (getComputedStyle(e).textOverflow === "ellipsis" || (e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1)) broken.push(`"${e.textContent.trim()}" is wider than its place`);
  }
  for (const e of wall.querySelectorAll("button, a[href], input, select, [tabindex]")) broken.push(`there is something to press: ${e.outerHTML.slice(0, 60)}`);
  return JSON.stringify(broken);
})()

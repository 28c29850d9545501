// Measures a wall of 1920 × 1080 pixels, each one unit, and answers with a list
// of what can not be read from five metres, as JSON.
(() => {
  const cap = 0.74; // height of capitals and figures, of the font size
  const least = { word: 48, figure: 66 };
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
    if (high < (figure ? least.figure : least.word) - slack) broken.push(`"${words}" is ${high.toFixed(1)} high`);
    const range = document.createRange();
    range.selectNodeContents(node);
    // the ink of capitals lies within the middle three fifths of a line's box
    for (const r of range.getClientRects()) {
      lines.push({ words, left: r.left, right: r.right, top: r.top + 0.2 * r.height, bottom: r.bottom - 0.21 * r.height, lost: e.closest(".w-asof") });
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
  for (const e of wall.querySelectorAll("button, a[href], input, select, [tabindex]")) broken.push(`there is something to press: ${e.outerHTML.slice(0, 60)}`);
  return JSON.stringify(broken);
})()

// Counts in the page what somebody reads on the way, and tells the keyboard where things lie. It runs inside the
// browser, so it is script in a string.

/** Puts `walked` into the page, once; its counts start anew with each page. */
export const walkedScript = `(() => {
  if (window.walked) return;
  const counted = new Set();
  const unread = "option, datalist, script, style, .visually-hidden";
  const wordsOf = (root) => {
    let words = 0;
    const texts = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    for (let text = texts.nextNode(); text; text = texts.nextNode()) {
      const parent = text.parentElement;
      if (parent.closest(unread) || !parent.checkVisibility({ visibilityProperty: true })) continue;
      words += (text.textContent.match(/[\\p{L}\\p{N}]\\S*/gu) ?? []).length;
    }
    return words;
  };
  const read = (element) => {
    if ([...counted].some((each) => each.contains(element))) return 0;
    let words = wordsOf(element);
    // What was read inside it already is not read twice.
    for (const each of counted) if (element.contains(each)) words -= wordsOf(each);
    counted.add(element);
    return Math.max(0, words);
  };
  const readAll = (elements) => [...elements].reduce((sum, each) => sum + read(each), 0);
  window.walked = {
    /** Title and lead. */
    opened: () => readAll(document.querySelectorAll("main h1, main .lead")),
    /** A control with its label and hint. */
    used: (control) => read(control.closest(".duration, .material, .photo-picker, .door") ?? control.closest("label") ??
      control.closest("div.field") ?? control.closest("summary, a, button") ?? control),
    /** Headings and buttons above the control: who passes over a part of a page looks at these. */
    passed: (control) => readAll([...document.querySelectorAll("main :is(h2, h3, legend, summary, a.button, button)")]
      .filter((each) => each.compareDocumentPosition(control) & Node.DOCUMENT_POSITION_FOLLOWING)),
    answer: (selector) => readAll(document.querySelectorAll(selector)),
    /** Which way Tab leads from where the focus is. */
    wayTo: (control) => {
      const now = document.activeElement;
      if (now === control) return "here";
      if (now === null || now === document.body) return "on";
      return now.compareDocumentPosition(control) & Node.DOCUMENT_POSITION_PRECEDING ? "back" : "on";
    },
    /** How many arrows down from the chosen option. */
    arrowsTo: (list, label) =>
      [...list.options].findIndex((option) => option.label.trim() === label) - list.selectedIndex,
  };
})()`;

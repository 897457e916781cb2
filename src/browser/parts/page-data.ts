// The page's one JSON script element, typed by the caller: `pageData<TestPageData>()`.

/** Data that the server put into the page for its script. */
export function pageData<Data>(): Data {
  const element = document.getElementById("page-data");
  if (element === null) throw new TypeError("This page carries no data for its script.");
  return JSON.parse(element.textContent ?? "null") as Data;
}

// A page as a reader sees it: without the buttons that would only be refused. What a form shows stays readable.
import { mayDo } from "./roles.ts";

/** Pages that are nothing but a form for a change. */
const formPages = /^\/(tests|prints|negatives)\/new$|^\/evenness(\/tablets)?$|\/(corners|delete|edit|sheet-check)$/;

const attributeOf = (tag: string, name: string): string | undefined =>
  new RegExp(`\\s${name}="([^"]*)"`).exec(tag)?.[1]?.replaceAll("&amp;", "&");
const pathOf = (address: string): string => address.split(/[?#]/)[0] ?? "";

/** Whether a reader's press of this form would be answered. */
function mayPress(formTag: string, here: string): boolean {
  if (attributeOf(formTag, "method")?.toLowerCase() !== "post") return true;
  return mayDo("reader", "POST", pathOf(attributeOf(formTag, "action") ?? here));
}

/** Whether a link leads to something that a reader can use. */
function mayFollow(linkTag: string): boolean {
  const path = pathOf(attributeOf(linkTag, "href") ?? "");
  return !path.startsWith("/") || (mayDo("reader", "GET", path) && !formPages.test(path));
}

const shownField = /<(select|textarea)\b|<input\b(?![^>]*\btype="hidden")/;
const button = /<button\b(?![^>]*\btype="(?:button|reset)")[^>]*>[\s\S]*?<\/button>/g;

/** A form whose fields can be read and not changed; nothing, where it showed none. */
function unusable(form: string): string {
  if (!shownField.test(form)) return "";
  return form.replace(button, "").replace(/<(input|select|textarea|button)\b(?![^>]*\sdisabled)/g, "<$1 disabled");
}

/**
 * Takes out of a page of ours what a reader may not do: forms that only press lose their place, those with fields their
 * buttons, links to forms their target. Pages print names and notes escaped, so that every tag in them is ours.
 * @param here address of the page, to which forms without an address of their own go
 */
export function pageForReader(html: string, here: string): string {
  const gone = new Set<string>();
  const withoutForms = html.replace(/(<form\b[^>]*>)[\s\S]*?<\/form>/g, (form, tag: string) => {
    if (mayPress(tag, here)) return form;
    const id = attributeOf(tag, "id");
    if (id !== undefined) gone.add(id);
    return unusable(form);
  });
  return withoutForms
    .replace(/<button\b[^>]*\bform="([^"]*)"[^>]*>[\s\S]*?<\/button>/g, (each, id: string) =>
      gone.has(id) ? "" : each,
    )
    .replace(/<(?:input|select|textarea)\b[^>]*\bform="([^"]*)"[^>]*>/g, (each, id: string) =>
      gone.has(id) ? each.replace(/^<\w+/, "$& disabled") : each,
    )
    .replace(/(<a\b[^>]*>)([\s\S]*?)<\/a>/g, (link, tag: string, words: string) => {
      if (mayFollow(tag)) return link;
      return /\bclass="[^"]*\bbutton\b/.test(tag) ? "" : words;
    });
}

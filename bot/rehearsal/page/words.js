// Text with its entities as DOM nodes. Offsets count UTF-16 units, as JavaScript's strings do.

const TAGS = {
  bold: "strong",
  italic: "em",
  underline: "u",
  strikethrough: "s",
  code: "code",
  pre: "pre",
  blockquote: "blockquote",
  expandable_blockquote: "blockquote",
};
const BLOCKS = new Set(["pre", "blockquote", "expandable_blockquote"]);

/** Build a fragment; `entities` are outermost first, as the server sends them. */
export function words(text, entities) {
  const fragment = document.createDocumentFragment();
  fill(fragment, text, 0, text.length, entities);
  return fragment;
}

function fill(parent, text, start, end, entities) {
  let at = start;
  let rest = entities;
  while (rest.length) {
    const [entity, ...others] = rest;
    const from = Math.max(entity.offset, at);
    const to = Math.min(entity.offset + entity.length, end);
    if (to <= from) {
      rest = others;
      continue;
    }
    if (from > at) parent.append(text.slice(at, from));
    const inside = others.filter((other) => other.offset < to);
    const node = nodeOf(entity, text.slice(from, to));
    fill(node, text, from, to, inside);
    parent.append(node);
    at = to;
    // The line break after a block is its end already.
    if (BLOCKS.has(entity.type) && text[at] === "\n" && at < end) at += 1;
    rest = others.filter((other) => other.offset + other.length > to);
  }
  if (at < end) parent.append(text.slice(at, end));
}

function nodeOf(entity, text) {
  if (TAGS[entity.type]) return document.createElement(TAGS[entity.type]);
  if (entity.type === "spoiler") return spoiler();
  if (entity.type === "text_link" && /^https?:\/\//.test(entity.url)) return link(entity.url);
  if (entity.type === "url" && /^https?:\/\//.test(text)) return link(text);
  const span = document.createElement("span");
  if (entity.type !== "text_link") span.className = "command";
  return span;
}

function link(url) {
  const anchor = document.createElement("a");
  anchor.href = url;
  anchor.target = "_blank";
  anchor.rel = "noopener noreferrer";
  return anchor;
}

function spoiler() {
  const button = document.createElement("span");
  button.className = "hidden-words";
  button.tabIndex = 0;
  button.role = "button";
  button.ariaLabel = "Hidden text, press to read";
  const show = () => {
    button.classList.add("is-shown");
    button.removeAttribute("role");
    button.removeAttribute("aria-label");
  };
  button.addEventListener("click", show);
  button.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") show(); });
  return button;
}

// The rehearsal's page: shows what the server tells and sends what is done.
// Text from people and bot only ever becomes text nodes.

import { words } from "/page/words.js";

const el = (id) => document.getElementById(id);

const room = { bot: null, zone: "UTC", people: [], chats: [], talks: new Map(), posts: null };
const clock = { base: 0, since: 0, ticking: false };
const view = { person: 0, place: 0, replyTo: 0, edit: 0, unread: new Map() };

// ---------- small things ----------

function make(tag, properties = {}, ...children) {
  const node = Object.assign(document.createElement(tag), properties);
  node.append(...children.filter((child) => child !== null));
  return node;
}

function now() {
  return clock.base + (clock.ticking ? performance.now() - clock.since : 0);
}

function format(ms, options) {
  return new Intl.DateTimeFormat("en-GB", { timeZone: room.zone, ...options }).format(ms);
}

const timeOf = (ms) => format(ms, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const dayOf = (ms) => format(ms, { weekday: "long", day: "numeric", month: "long" });

function chatOf(id) {
  return room.chats.find((chat) => chat.id === id);
}

function personOf(id) {
  return room.people.find((person) => person.id === id);
}

const isGroup = (chat) => chat.members !== undefined;
const isInside = (status) => status !== undefined && status !== "left" && status !== "kicked";

function roleOf(person) {
  const group = room.chats.find((chat) => isGroup(chat) && isInside(chat.members[person.id]));
  const status = group?.members[person.id];
  if (!status) return "not in a group";
  return status === "member" ? "" : "organiser";
}

function mark(name, id) {
  const tone = id === room.bot.id ? "bot" : Math.max(room.people.findIndex((p) => p.id === id), 0) % 6;
  const initial = Array.from(name)[0] ?? "?";
  return make("span", { className: `mark tone-${tone}`, ariaHidden: "true", textContent: initial });
}

let noticeTimer = 0;
function notice(text, kind, { stays = false } = {}) {
  clearTimeout(noticeTimer);
  el("notice").replaceChildren(make("span", { className: kind, textContent: text }));
  if (stays) {
    const off = make("button", { type: "button", className: "quiet", textContent: "Noted" });
    off.addEventListener("click", () => el("notice").replaceChildren());
    el("notice").append(" ", off);
  } else {
    noticeTimer = setTimeout(() => el("notice").replaceChildren(), 7000);
  }
}

async function act(what, content) {
  try {
    const answer = await fetch(`/do/${what}`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(content),
    });
    const result = await answer.json();
    if (answer.ok) return result;
    notice(result.error, "wrong");
  } catch {
    notice("The rehearsal does not answer. Is it still running?", "wrong");
  }
  return null;
}

// ---------- entries ----------

const NEWS = {
  new_chat_members: (m) => `${m.new_chat_members.map((u) => u.first_name).join(", ")} came in`,
  left_chat_member: (m) => `${m.left_chat_member.first_name} left`,
  pinned_message: () => "pinned an entry",
  migrate_to_chat_id: () => "the group moved on to a new one",
  migrate_from_chat_id: () => "the group came here from an older one",
};

function newsOf(message) {
  const key = Object.keys(NEWS).find((name) => name in message);
  return key ? NEWS[key](message) : null;
}

function shortText(message) {
  const text = message.text ?? message.caption ?? (message.photo ? "a picture" : message.voice ? "a sound" : "a file");
  return text.replace(/\s+/g, " ").slice(0, 90);
}

function senderOf(message) {
  const from = message.sender_chat ?? message.from;
  return { id: from.id, name: from.first_name ?? from.title };
}

function entryNode(shown) {
  const { message } = shown;
  const sender = senderOf(message);
  const news = newsOf(message);
  const byBot = sender.id === room.bot.id;
  const body = byBot && !news ? make("div", { className: "card" }) : make("div");
  body.append(...[answered(message), ...media(message)].filter((node) => node !== null));
  const text = make("div", { className: "words" });
  if (news) text.append(news);
  else text.append(words(message.text ?? message.caption ?? "", message.entities ?? message.caption_entities ?? []));
  body.append(text, keys(message));
  const who = make("span", { className: "who" }, mark(sender.name, sender.id), make("span", { textContent: sender.name, title: sender.name }));
  const at = make("time", { textContent: timeOf(message.date * 1000), dateTime: new Date(message.date * 1000).toISOString() });
  const entry = make("article", { className: `entry${byBot ? " by-bot" : ""}${news ? " is-news" : ""}` },
    make("div", { className: "edge" }, at, who),
    make("div", { className: "said" }, body, foot(shown)),
    news ? null : actions(message));
  entry.dataset.id = message.message_id;
  entry.setAttribute("aria-label", `${sender.name}, ${timeOf(message.date * 1000)}`);
  return entry;
}

function answered(message) {
  const original = message.reply_to_message;
  if (!original) return null;
  const words = message.quote?.text ?? shortText(original);
  const text = `to ${senderOf(original).name}: ${words}`;
  const button = make("button", { type: "button", className: "answered", textContent: text });
  button.addEventListener("click", () => find(original.message_id));
  return button;
}

function find(messageId) {
  const entry = el("log").querySelector(`[data-id="${messageId}"]`);
  if (!entry) return notice("That entry is gone.", "wrong");
  entry.scrollIntoView({ block: "center" });
  entry.classList.add("is-found");
  setTimeout(() => entry.classList.remove("is-found"), 1500);
}

function media(message) {
  if (message.photo) {
    const { file_id: id, width, height } = message.photo.at(-1);
    const alt = message.caption ? "Picture, described below" : "Picture without a description";
    return [make("img", { className: "picture", src: `/picture/${id}`, width, height, alt, loading: "lazy" })];
  }
  if (message.voice) {
    return [make("audio", { className: "sound", src: `/picture/${message.voice.file_id}`, controls: true, preload: "metadata" })];
  }
  if (message.document) {
    const { file_id: id, file_name: name, file_size: size } = message.document;
    return [make("a", { className: "file", href: `/picture/${id}`, download: name, textContent: `${name} (${Math.ceil(size / 1024)} kB)` })];
  }
  return [];
}

function keys(message) {
  const rows = message.reply_markup?.inline_keyboard ?? [];
  if (!rows.length) return "";
  return make("div", { className: "keys" }, ...rows.map((row) => make("div", {}, ...row.map((key) => {
    if (key.url) {
      return make("a", { href: /^https?:/.test(key.url) ? key.url : "#", textContent: key.text, target: "_blank", rel: "noopener noreferrer" });
    }
    const button = make("button", { type: "button", textContent: key.text });
    button.addEventListener("click", () => act("press", {
      person_id: view.person, chat_id: view.place, message_id: message.message_id, data: key.callback_data,
    }));
    return button;
  }))));
}

function foot(shown) {
  const { message, reactions } = shown;
  const parts = [];
  if (message.edit_date) parts.push(make("span", { textContent: `edited ${timeOf(message.edit_date * 1000)}` }));
  if (shown.is_pinned) parts.push(make("span", { textContent: "pinned" }));
  if (message.is_topic_message) {
    const topic = chatOf(view.place)?.topics?.[message.message_thread_id];
    if (topic) parts.push(make("span", { textContent: `in ${topic}` }));
  }
  for (const { emoji, by } of reactions) {
    parts.push(make("span", { className: "reaction", textContent: `${emoji} ${by.join(", ")}` }));
  }
  return parts.length ? make("div", { className: "foot" }, ...parts) : "";
}

function actions(message) {
  const parts = [small("Reply", () => aim({ replyTo: message.message_id }))];
  if (message.from.id === view.person && !message.sender_chat) {
    parts.push(small("Edit", () => aim({ edit: message.message_id })));
    parts.push(small("Delete", () => act("erase", {
      person_id: view.person, chat_id: view.place, message_id: message.message_id,
    })));
  }
  return make("div", { className: "actions" }, ...parts);
}

function small(text, onClick) {
  const button = make("button", { type: "button", className: "quiet", textContent: text });
  button.addEventListener("click", onClick);
  return button;
}

// ---------- the log ----------

function talkHere() {
  return room.talks.get(view.place) ?? new Map();
}

function isAtEnd() {
  const log = el("log");
  return log.scrollHeight - log.scrollTop - log.clientHeight < 80;
}

function toEnd() {
  el("log").scrollTop = el("log").scrollHeight;
  el("to-end").hidden = true;
}

function drawLog() {
  const log = el("log");
  let day = "";
  const nodes = [];
  for (const shown of talkHere().values()) {
    const itsDay = dayOf(shown.message.date * 1000);
    if (itsDay !== day) nodes.push(make("div", { className: "day", textContent: itsDay }));
    day = itsDay;
    nodes.push(entryNode(shown));
  }
  if (!nodes.length) nodes.push(make("p", { className: "blank", textContent: "Nothing on this sheet yet." }));
  log.replaceChildren(...nodes);
  log.dataset.day = day;
  toEnd();
}

function drawEntry(shown) {
  const log = el("log");
  const old = log.querySelector(`[data-id="${shown.message.message_id}"]`);
  const follow = isAtEnd();
  if (old) {
    const holder = document.activeElement;
    const at = old.contains(holder) ? [...old.querySelectorAll("button")].indexOf(holder) : -1;
    const fresh = entryNode(shown);
    old.replaceWith(fresh);
    if (at >= 0) (fresh.querySelectorAll("button")[at] ?? el("text")).focus({ preventScroll: true });
  } else {
    log.querySelector(".blank")?.remove();
    const day = dayOf(shown.message.date * 1000);
    if (day !== log.dataset.day) log.append(make("div", { className: "day", textContent: day }));
    log.dataset.day = day;
    log.append(entryNode(shown));
  }
  if (follow) toEnd();
  else if (!old) el("to-end").hidden = false;
}

// ---------- who and where ----------

function placesFor(person) {
  const groups = room.chats.filter((chat) => isGroup(chat) && !chat.is_closed && isInside(chat.members[person.id]));
  const own = room.chats.find((chat) => chat.person_id === person.id);
  return [...groups, own];
}

function drawPlaces() {
  const person = personOf(view.person);
  if (!person) return;
  const places = placesFor(person);
  if (!places.some((chat) => chat.id === view.place)) {
    view.place = isGroup(chatOf(view.place) ?? {}) || !view.place ? places[0].id : places.at(-1).id;
  }
  view.unread.delete(view.place);
  el("places").replaceChildren(...places.map((chat) => {
    const name = isGroup(chat) ? chat.title : `Private with ${room.bot.first_name}`;
    const button = make("button", { type: "button", textContent: name, ariaPressed: String(chat.id === view.place) });
    const unread = view.unread.get(chat.id);
    if (unread) button.append(make("span", { className: "count", textContent: `${unread} new` }));
    button.addEventListener("click", () => choose({ place: chat.id }));
    return button;
  }));
  drawOpening(person);
}

function drawOpening(person) {
  const chat = chatOf(view.place);
  const isPrivate = !isGroup(chat);
  const closed = isPrivate && (!person.has_started || person.has_blocked);
  el("opening").hidden = !closed;
  el("writing").hidden = closed;
  el("opening-text").textContent = person.has_blocked
    ? `${person.name} has blocked ${room.bot.first_name}.`
    : `${person.name} has not opened a private talk with ${room.bot.first_name} yet.`;
  el("start").textContent = person.has_blocked ? "Unblock and start" : "Start";
  const note = el("private-note");
  note.hidden = closed || (!isPrivate && chat.has_bot);
  if (!isPrivate) note.textContent = `${room.bot.first_name} is not in this group.`;
  else note.replaceChildren(small(`Block ${room.bot.first_name}`, () => act("block", { person_id: view.person })));
  el("text-label").textContent = `Text, as ${person.name}. Enter sends, Shift and Enter starts a new line.`;
}

function drawCast() {
  el("cast").replaceChildren(...room.people.map((person) => {
    const input = make("input", { type: "radio", name: "person", value: String(person.id), checked: person.id === view.person });
    input.addEventListener("change", () => choose({ person: person.id }));
    const role = roleOf(person);
    return make("label", {}, input, mark(person.name, person.id), make("span", { textContent: person.name }),
      role ? make("span", { className: "role", textContent: role }) : null);
  }));
}

function choose({ person = view.person, place = view.place }) {
  const before = chatOf(view.place);
  const stood = isAtEnd() ? null : el("log").scrollTop;
  if (person !== view.person && before && !isGroup(before)) place = person; // private stays private
  Object.assign(view, { person, place });
  aim({});
  drawPlaces();
  drawLog();
  if (stood !== null && before?.id === view.place) el("log").scrollTop = stood;
  drawMenu();
}

function aim({ replyTo = 0, edit = 0 }) {
  if (view.edit && !edit) el("text").value = "";
  Object.assign(view, { replyTo, edit });
  const message = talkHere().get(replyTo || edit)?.message;
  el("about").hidden = !message;
  if (!message) return;
  el("about-text").textContent = edit ? "Changing an entry" : `Reply to ${senderOf(message).name}: ${shortText(message)}`;
  if (edit) el("text").value = message.text ?? message.caption;
  fitText();
  el("text").focus();
}

let menuAsked = 0;
async function drawMenu() {
  const asked = ++menuAsked;
  const answer = await fetch(`/menu?person_id=${view.person}&chat_id=${view.place}`).catch(() => null);
  const commands = answer?.ok ? await answer.json() : [];
  if (asked !== menuAsked) return;
  el("menu").replaceChildren(...commands.map(({ command, description }) => {
    const button = make("button", { type: "button" }, make("code", { textContent: `/${command}` }), make("span", { textContent: description }));
    button.addEventListener("click", () => {
      el("text").value = `/${command} `;
      el("text").focus();
    });
    return make("li", {}, button);
  }));
  if (!commands.length) el("menu").append(make("li", { textContent: "None." }));
}

// ---------- clock and posts ----------

function drawClock() {
  const ms = now();
  el("clock-time").textContent = timeOf(ms);
  el("clock-time").dateTime = new Date(ms).toISOString();
  el("clock-day").textContent = format(ms, { weekday: "long", day: "numeric", month: "long", year: "numeric" });
  el("clock-zone").textContent = `${room.zone}${clock.ticking ? "" : ", stands still"}`;
  el("small-time").textContent = `${format(ms, { weekday: "short" })} ${timeOf(ms)}`;
}

function setClock({ now_ms, is_ticking }) {
  Object.assign(clock, { base: now_ms, since: performance.now(), ticking: is_ticking });
  drawClock();
  if (document.activeElement !== el("pick-at")) el("pick-at").value = localInput(now_ms);
}

function localInput(ms) {
  const date = format(ms, { year: "numeric", month: "2-digit", day: "2-digit" }).split("/").reverse().join("-");
  return `${date}T${timeOf(ms)}`;
}

async function moveClock(wish) {
  document.querySelectorAll(".clock button, .posts button").forEach((b) => { b.disabled = true; });
  await act("clock", wish);
  document.querySelectorAll(".clock button, .posts button").forEach((b) => { b.disabled = false; });
}

function drawPosts() {
  el("posts-panel").hidden = room.posts === null;
  const posts = room.posts ?? [];
  el("posts").replaceChildren(...posts.map((post) => {
    const isPlanned = post.state === "planned";
    const item = make("li", { className: isPlanned ? "" : "is-done" },
      make("span", { className: "what", textContent: post.title }),
      make("span", { className: "when", textContent: isPlanned ? post.local : `${post.local}, ${post.state}` }));
    if (isPlanned) {
      const button = make("button", { type: "button", textContent: "Go to" });
      button.setAttribute("aria-label", `Go to ${post.title}, ${post.local}`);
      button.addEventListener("click", () => moveClock({ instant: post.due_at }));
      item.append(button);
    }
    return item;
  }));
  if (!posts.length) el("posts").append(make("li", { textContent: "Nothing planned." }));
}

// ---------- news from the server ----------

const TAKE = {
  all(news) {
    Object.assign(room, { bot: news.bot, zone: news.zone, people: news.people, chats: news.chats, posts: news.posts });
    room.talks = new Map(Object.entries(news.talks).map(([id, talk]) => [
      Number(id), new Map(talk.map((shown) => [shown.message.message_id, shown])),
    ]));
    if (!personOf(view.person)) view.person = room.people[0]?.id ?? 0;
    setClock(news);
    drawCast();
    drawPosts();
    choose({});
    document.body.dataset.ready = "yes";
  },
  message(news) {
    const talk = room.talks.get(news.chat_id) ?? new Map();
    room.talks.set(news.chat_id, talk);
    const isNew = !talk.has(news.message_id);
    talk.set(news.message_id, news);
    if (news.chat_id === view.place) {
      drawEntry(news);
      if (news.message.from.id === room.bot.id && el("notice").querySelector(".under-way")) el("notice").replaceChildren();
    } else if (isNew && news.message.from.id === room.bot.id) {
      view.unread.set(news.chat_id, (view.unread.get(news.chat_id) ?? 0) + 1);
      drawPlaces();
    }
  },
  gone(news) {
    room.talks.get(news.chat_id)?.delete(news.message_id);
    if (news.chat_id !== view.place) return;
    if (view.replyTo === news.message_id || view.edit === news.message_id) aim({});
    el("log").querySelector(`[data-id="${news.message_id}"]`)?.remove();
  },
  toast(news) {
    if (!news.text) return;
    const name = personOf(news.user_id)?.name ?? "somebody";
    notice(`${room.bot.first_name} to ${name} alone: ${news.text}`, "toast", { stays: news.is_alert });
  },
  action(news) {
    if (news.chat_id === view.place) notice(`${room.bot.first_name} is preparing something`, "under-way");
  },
  clock: setClock,
  who(news) {
    Object.assign(room, { people: news.people, chats: news.chats });
    if (!personOf(view.person)) view.person = room.people[0]?.id ?? 0;
    const before = view.place;
    drawCast();
    drawPlaces();
    if (view.place !== before) drawLog();
  },
  posts(news) {
    room.posts = news.posts;
    drawPosts();
  },
  menu: drawMenu,
};

function listen() {
  const stream = new EventSource("/live");
  let wasLost = false;
  stream.addEventListener("message", (event) => {
    const news = JSON.parse(event.data);
    TAKE[news.kind]?.(news);
    if (wasLost) notice("Back again.", "toast");
    wasLost = false;
  });
  stream.addEventListener("error", () => {
    if (!wasLost) notice("The rehearsal does not answer; trying again.", "wrong", { stays: true });
    wasLost = true;
    if (stream.readyState === EventSource.CLOSED) setTimeout(listen, 2000);
  });
}

// ---------- what is done on the page ----------

function fitText() {
  const text = el("text");
  if (CSS.supports("field-sizing", "content")) return;
  text.style.height = "auto";
  text.style.height = `${text.scrollHeight + 2}px`;
}

async function sendFile(file, caption) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let binary = "";
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return act("file", {
    person_id: view.person, chat_id: view.place, name: file.name, content: btoa(binary), caption,
  });
}

async function send() {
  const text = el("text").value.trim();
  const [file] = el("file").files;
  const { person, place, replyTo, edit } = view;
  if (!text && (!file || edit)) return;
  const base = { person_id: person, chat_id: place, text };
  let done;
  if (edit) done = await act("edit", { ...base, message_id: edit });
  else if (file) done = await sendFile(file, text);
  else done = await act("say", { ...base, ...(replyTo ? { reply_to: replyTo } : {}) });
  if (!done) return;
  el("text").value = "";
  if (!edit) el("file").value = "";
  fitText();
  aim({});
  toEnd();
  el("text").focus();
}

el("writing").addEventListener("submit", (event) => {
  event.preventDefault();
  send();
});
el("text").addEventListener("input", fitText);
el("text").addEventListener("keydown", (event) => {
  if (event.key === "Enter" && !event.shiftKey && !event.isComposing) {
    event.preventDefault();
    send();
  } else if (event.key === "Escape") {
    aim({});
  }
});
el("about-off").addEventListener("click", () => aim({}));
el("start").addEventListener("click", () => act("start", { person_id: view.person }));
el("to-end").addEventListener("click", toEnd);
el("log").addEventListener("scroll", () => { if (isAtEnd()) el("to-end").hidden = true; });
for (const button of document.querySelectorAll("[data-move]")) {
  button.addEventListener("click", () => moveClock(JSON.parse(button.dataset.move)));
}
el("pick").addEventListener("submit", (event) => {
  event.preventDefault();
  moveClock({ local: el("pick-at").value });
});
el("newcomer").addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  const here = chatOf(view.place);
  const group = here && isGroup(here) ? here : room.chats.find((chat) => isGroup(chat) && !chat.is_closed);
  if (!group) return notice("There is no group to come into.", "wrong");
  const added = await act("person", {
    first_name: form.first_name.value.trim(),
    language_code: form.language_code.value,
    is_organiser: form.is_organiser.checked,
    group_id: group.id,
  });
  if (!added) return;
  form.reset();
  choose({ person: added.person_id, place: group.id });
  drawCast();
});

const wide = matchMedia("(min-width: 60.01rem)");
function fold() {
  for (const panel of document.querySelectorAll("[data-wide-open]")) panel.open = wide.matches;
}
wide.addEventListener("change", fold);
fold();
setInterval(() => { if (clock.ticking) drawClock(); }, 1000);
listen();

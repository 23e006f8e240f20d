// What may be at fault, likeliest first, and beside it what to read next: in the kit's words alone.

import {html} from "./drawing.js";
import {button, put_text} from "./beside.js";

export class Answer {
  constructor(place, owner) {
    Object.assign(this, {owner, refuting: []});
    this.causes = html("div", {class: "pin30-table pin30-causes", role: "region", tabindex: 0, "aria-label": "What may be at fault"}, place);
    this.next = html("div", {class: "pin30-table pin30-next", role: "region", tabindex: 0, "aria-label": "What to read next"}, place);
    this.head = html("p", {role: "status"}, this.causes);
    this.before = html("div", {}, this.causes);
    this.against = html("p", {role: "alert", class: "pin30-alert"}, this.causes);
    this.list = html("ol", {"aria-label": "Causes, likeliest first"}, this.causes);
    this.other = html("p", {}, this.causes);
  }

  busy(words) { put_text(this.head, words); }

  found({head, causes, other, against, before}) {
    put_text(this.head, head);
    put_text(this.against, against);
    put_text(this.other, other);
    this.before.replaceChildren(...before.map(text => html("p", {text})));
    this.more = [];
    this.list.replaceChildren(...causes.map(cause => this.cause(cause)));
    this.next.replaceChildren();
    if (causes.length) html("p", {text: "Working out what to read next …"}, this.next);
  }

  cause({odds, words, repair, why}) {
    const line = html("li"), more = html("details", {}, line), head = html("summary", {}, more);
    html("b", {text: `${this.more.length + 1}. ${odds} `}, head);
    head.append(words);
    html("p", {text: `To do: ${repair}.`}, more);
    html("p", {text: why}, more);
    this.more.push(html("p", {}, more));
    return line;
  }

  // Where something may be shorted, what is to be careful of comes first.
  further({caution, first, head, lines, outcomes, reason, offer, refuting}) {
    refuting.forEach((words, index) => { if (this.more[index]) put_text(this.more[index], words); });
    this.next.replaceChildren();
    if (caution && first) html("p", {class: "pin30-caution", text: caution}, this.next);
    if (head) html("p", {class: "pin30-next-head", text: head}, this.next);
    if (offer) button(this.next, offer.look ? `look at ${offer.look}` : "put the leads there", () => this.owner.put(offer));
    const list = html("ul", {}, this.next);
    for (const text of outcomes) html("li", {text}, list);
    if (!outcomes.length) list.remove();
    if (reason) html("p", {text: reason}, this.next);
    for (const text of lines) html("p", {text}, this.next);
    if (caution && !first) html("p", {text: caution}, this.next);
    this.next.scrollTop = 0;
  }
}

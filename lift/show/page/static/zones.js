// Zones of a visit: made, named by where they lie, renamed and taken away with all that names them.

import { PLACES } from "./head.js";
import { say } from "./words.js";

// Hair of one head is alike by nature: a further zone begins as another one is.
const INHERITED = ["natural_level", "fibre", "red", "grey_percent", "resistant_percent", "damp"];

const isWhole = (head) => !head?.length || head.length === PLACES.length;

// Words for where a zone lies: "regrowth", "front and top foils".
function placesSaid(head, along) {
  const stretch = say(`head.along.${along}`);
  if (isWhole(head)) return stretch;
  const places = PLACES.filter((place) => head.includes(place)).map((place) => say(`head.place.${place}`));
  const last = places.pop();
  const joined = places.length ? say("hair.and", { first: places.join(", "), last }) : last;
  return say("hair.zone", { places: joined, stretch });
}

function freeName(visit, wanted, own = null) {
  const taken = visit.zones.map((zone) => zone.name).filter((name) => name !== own);
  if (!taken.includes(wanted)) return wanted;
  let number = 2;
  while (taken.includes(`${wanted} ${number}`)) number++;
  return `${wanted} ${number}`;
}

export function addZone(visit, { head, along }, given = {}, like = null) {
  const zone = { name: freeName(visit, placesSaid(head, along)), head, along };
  for (const key of INHERITED) if (like?.[key] !== undefined) zone[key] = like[key];
  visit.zones.push({ ...zone, ...given });
  return zone.name;
}

// What is wanted of a zone as the blonde of another: its name is at the end of the text.
const wantedOf = (zone) => /^blend (?:darkest|lightest) blonde of (.+)$/.exec(zone.goal)?.[1];

export function renameZone(visit, from, to) {
  const name = freeName(visit, to.trim() || from, from);
  const swap = (each) => (each === from ? name : each);
  for (const zone of visit.zones) {
    if (wantedOf(zone) === from) zone.goal = zone.goal.slice(0, -from.length) + name;
    if (zone.beside) zone.beside = zone.beside.map(swap);
    if (zone.part) zone.part = swap(zone.part);
    zone.name = swap(zone.name);
  }
  if (visit.salon?.order) visit.salon.order = visit.salon.order.map(swap);
  for (const mark of [...(visit.clock?.zones ?? []), ...(visit.looks ?? []), ...(visit.came_out ?? [])]) {
    mark.zone = swap(mark.zone);
  }
  return name;
}

// Where a zone lies; its name follows as long as nobody gave it another.
export function moveZone(visit, name, { head, along }) {
  const zone = visit.zones.find((each) => each.name === name);
  const made = zone.along && placesSaid(zone.head, zone.along);
  const named = made && (name === made || name.replace(/ \d+$/, "") === made);
  Object.assign(zone, { head, along });
  return named ? renameZone(visit, name, placesSaid(head, along)) : name;
}

export function removeZone(visit, name) {
  const others = (rows) => rows?.filter((row) => row.zone !== name);
  visit.zones = visit.zones.filter((zone) => zone.name !== name);
  for (const zone of visit.zones) {
    if (wantedOf(zone) === name) delete zone.goal;
    if (zone.beside) zone.beside = zone.beside.filter((part) => part !== name);
  }
  if (visit.salon?.order) visit.salon.order = visit.salon.order.filter((each) => each !== name);
  if (visit.clock?.zones) visit.clock.zones = others(visit.clock.zones);
  if (visit.looks) visit.looks = others(visit.looks);
  if (visit.came_out) visit.came_out = others(visit.came_out);
}

// Places of a stretch where no zone lies yet.
export function placesLeft(zones, along) {
  const there = zones.filter((zone) => zone.along === along);
  return PLACES.filter((place) => !there.some((zone) => !zone.head?.length || zone.head.includes(place)));
}

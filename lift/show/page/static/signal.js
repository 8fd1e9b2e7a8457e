// What is heard and felt: beeps made here, a buzz where the phone can, a screen that stays on; and
// what of that this phone cannot give.

let context = null;

// A browser gives sound only after a press, so this is called from one.
export function wakeSound() {
  const Context = window.AudioContext ?? window.webkitAudioContext;
  if (!Context) return;
  context ??= new Context();
  if (context.state === "suspended") context.resume();
}

const TUNES = {
  soon: [[660, 0.18]],
  do: [[660, 0.18], [880, 0.25]],
  behind: [[660, 0.18], [880, 0.25]],
  rinse: [[880, 0.3], [880, 0.3], [880, 0.3]],
  late: [[990, 0.15], [740, 0.15], [990, 0.15], [740, 0.15], [990, 0.15], [740, 0.15]],
};

export function beep(name) {
  const tune = TUNES[name];
  if (!tune) return;
  if (navigator.userActivation?.hasBeenActive) {
    navigator.vibrate?.(tune.flatMap(([, long]) => [long * 1000, 120]));
  }
  if (!context) return;
  let at = context.currentTime + 0.02;
  for (const [pitch, long] of tune) {
    const tone = context.createOscillator();
    const volume = context.createGain();
    tone.frequency.value = pitch;
    volume.gain.setValueAtTime(0, at);
    volume.gain.linearRampToValueAtTime(0.5, at + 0.015);
    volume.gain.setValueAtTime(0.5, at + long - 0.03);
    volume.gain.linearRampToValueAtTime(0, at + long);
    tone.connect(volume).connect(context.destination);
    tone.start(at);
    tone.stop(at + long);
    at += long + 0.12;
  }
}

let lock = null;

export async function stayAwake(on) {
  if (!on) {
    await lock?.release();
    lock = null;
    return;
  }
  try {
    if (!lock || lock.released) lock = (await navigator.wakeLock?.request("screen")) ?? null;
  } catch {
    lock = null;
  }
}

// Why it may not ring, the gravest first: nothing is heard, or not once the screen has gone off. No
// message of the system is asked for: a locked phone does not bring it in time.
export function cannotRing(sound) {
  const why = [];
  if (!sound) why.push("ring.off");
  else if (!(window.AudioContext ?? window.webkitAudioContext)) why.push("ring.none");
  else if (context?.state !== "running") why.push("ring.touch");
  if (!lock || lock.released) why.push("ring.locks");
  return why;
}

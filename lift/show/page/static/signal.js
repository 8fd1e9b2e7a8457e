// What is heard and felt: beeps made here, a buzz where the phone can, a screen that stays on.

let context = null;

// A browser gives sound only after a press, so this is called from one.
export function wakeSound() {
  context ??= new (window.AudioContext ?? window.webkitAudioContext)();
  if (context.state === "suspended") context.resume();
}

const TUNES = {
  soon: [[660, 0.18]],
  do: [[660, 0.18], [880, 0.25]],
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
    return true;
  }
  if (!navigator.wakeLock) return false;
  try {
    if (!lock || lock.released) lock = await navigator.wakeLock.request("screen");
    return true;
  } catch {
    return false;
  }
}

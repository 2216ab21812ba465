/** Seen from above: the keys, the open action with a phone struck out, the phone on its cloth, the way to the hand. */

const WHITE_KEYS = Array.from({ length: 15 }, (_, i) => 102 + 14.8 * (i + 1));
const BLACK_KEYS = [0, 1, 3, 4, 5, 7, 8, 10, 11, 12, 14].map((i) => 111.3 + 14.8 * i);
const RAILS = Array.from({ length: 22 }, (_, i) => 110 + 10.3 * i);

export function PlacePicture() {
  return (
    <svg
      className="place-picture"
      viewBox="0 0 350 190"
      role="img"
      aria-label="Seen from above: the phone lies on a stand or cloth beside the keys, 20 to 40 cm from the hand, and never on the open action."
    >
      <rect className="action" x="100" y="8" width="237" height="62" rx="7" />
      <path className="rails" d={RAILS.map((x) => `M${x} 14v50`).join('')} />
      <rect className="wrong-phone" x="198" y="18" width="44" height="24" rx="5" />
      <path className="struck-out" d="M190 52l60-44" />
      <rect className="keys" x="100" y="76" width="237" height="66" rx="3" />
      <path className="rails" d={WHITE_KEYS.map((x) => `M${x} 78v62`).join('')} />
      {BLACK_KEYS.map((x) => (
        <rect key={x} className="black" x={x} y="76" width="9" height="40" />
      ))}
      <rect className="cloth" x="16" y="72" width="66" height="76" rx="9" />
      <rect className="phone" x="36" y="82" width="27" height="56" rx="5" />
      <circle className="hole" cx="49.500" cy="133" r="2.500" />
      <path className="arc" d="M74 134q62 48 144 24" />
      <path
        className="hand"
        d="M238 188q-3-14-11-28-5-8 1-11 6-2 12 10 -5-22 1-26 8-4 10 22 0-26 5-30 9-3 10 29 5-27 11-27 8 2 2 31 7-19 13-16 6 4-3 22 -7 14-7 24"
      />
      <text x="49" y="64" textAnchor="middle">
        stand, cloth
      </text>
      <text className="far-off" x="133" y="182" textAnchor="middle">
        20 to 40 cm
      </text>
    </svg>
  );
}

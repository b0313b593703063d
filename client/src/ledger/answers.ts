/**
 * What the workshop's server answers.
 * Written by `python -m twoturns.web.types`: change the schemas in web/, not this.
 */

/** Which workshop this is: its id, the key that signs for it now, its name, its program. */
export interface WorkshopAnswer {
  /** Compare it with the paper. */
  workshop: string
  key: string
  name: string
  version: string
}

/** A record, as it stands in the ledger at its index. */
export interface RecordAnswer {
  index: number
  record: string
}

/** The statements that lead from the key on paper to the one that signs now, proven. */
export interface KeysAnswer {
  records: RecordAnswer[]
  checkpoint: string
  /** Leads from all the records to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
}

/** The invitation; its proof leads to the checkpoint of the enrolment. */
export interface ProvenRecordAnswer {
  index: number
  record: string
  /** Leads from the record to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
}

/** Where the enrolment stands, proven, and the invitation that it follows from. */
export interface EnrolAnswer {
  index: number
  record: string
  checkpoint: string
  /** Leads from the record to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
  /** An older workshop says nothing of it. */
  invitation?: ProvenRecordAnswer
  rewound: boolean
}

/** What the device signs. */
export interface NonceAnswer {
  nonce: string
}

/** For whom the session speaks, and until when. */
export interface SessionAnswer {
  role: 'owner' | 'mechanic' | 'auditor'
  person: string
  until: string
}

/** A published bundle whose pictures are all here. A withdrawn one says why. */
export interface BundleRow {
  bundle: string
  id: string
  name: string
  edition: number
  engine_codes: string[]
  /** Why, where it was. */
  withdrawn: string | null
  /** Bytes. */
  size: number
  index: number
}

/** Bundles, the oldest first. */
export interface BundlesAnswer {
  bundles: BundleRow[]
}

/** A step, and how often the hand comes to the phone for it: touches, holds, characters. */
export interface StepWeight {
  number: string
  title: string
  hand: number
}

/** What the straight job asks of the phone; its steps, the heaviest first. */
export interface WeightAnswer {
  touches: number
  holds: number
  photos: number
  characters: number
  /** Of waiting. */
  minutes: number
  steps: StepWeight[]
}

/** One line, or one private value, that was not taken. It stays on the phone. */
export interface RefusedAnswer {
  /** Its place in `lines`, from 0. */
  line?: number
  /** Its place in `blobs`, from 0. */
  blob?: number
  /** The entry's id, if the line could be read. */
  id?: string
  code: string
  message: string
  hint: string
}

/** What was kept: an index for each id, a checkpoint that covers them all, and the proof. */
export interface ReceiptAnswer {
  checkpoint: string
  indices: Record<string, number>
  /** What stands before each line in its record: time and offset. */
  stamps: Record<string, string>
  /** Leads from the records of `indices` and `kept` to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
  /** The `blob.kept` records that cover the private values sent. */
  kept: RecordAnswer[]
  refused: RefusedAnswer[]
  /** Of `indices`, the standing of what is held back: no page tells it. An older workshop says nothing of it. */
  held?: Record<string, 'good' | 'gap' | 'doubted' | 'forked'>
  /** Of `indices`, what is kept and not in force: the workshop's program is older than the app that wrote it, and cannot act on it. An older workshop says nothing of it. */
  unread?: string[]
  rewound: boolean
}

/** Records from an index on. `standings` has every record of the page that is not `good`, and every earlier entry whose standing was changed by a record in the page's span: a gap that was filled, a fork that showed. */
export interface PageAnswer {
  records: RecordAnswer[]
  next: number
  more: boolean
  checkpoint: string
  /** Leads from the records of the page to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
  standings: Record<string, 'good' | 'gap' | 'doubted' | 'forked'>
  rewound: boolean
  /** Of `/log`: photos and private values that are damaged or missing in the workshop, of jobs that the device worked on or may see. If it still has one, it sends it again by itself. An older workshop says nothing of it. */
  wanted?: string[]
}

/** The `blob.kept` record of a blob and a checkpoint that covers it. */
export interface KeptAnswer {
  index: number
  record: string
  checkpoint: string
  /** Leads from the record to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
  rewound: boolean
}

/** What the workshop stated that speaks against a job. */
export interface NoticeRow {
  /** closed-against-recall, approved-against-recall, lot-recalled, bundle-withdrawn, bundle-not-published, tool-not-calibrated or shown-before */
  code: string
  message: string
  /** Of a recall, as it writes it; else null. */
  lot: string | null
}

/** A job in a line. `vehicle` is null when the job's procedure is not here to fold it by. */
export interface DeskRow {
  job: string
  bundle: string | null
  vehicle: string | null
  engine_code: string | null
  bay: string | null
  odometer_km: number | null
  vin: string | null
  plate: string | null
  /** changed: approved, then changed */
  state: 'open' | 'closed' | 'approved' | 'changed'
  exceptions: number
  worst: string | null
  /** Worst first. */
  codes: string[]
  /** Not answered yet. */
  questions: number
  /** Must-steps not to do. */
  done: number
  /** Must-steps. */
  steps: number
  entries: number
  last_received: string
  notices: NoticeRow[]
}

/** `backed_up` of `size` records are covered by a backup. */
export interface DeskAnswer {
  jobs: DeskRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
  size: number
  backed_up: number
  rewound: boolean
}

/** A job that was found. What this device may not read is null. */
export interface FoundRow {
  job: string
  engine_code: string | null
  bay: string | null
  odometer_km: number | null
  vin: string | null
  plate: string | null
  last_received: string
  is_closed: boolean
}

/** Jobs, the one heard of last first. */
export interface JobsAnswer {
  jobs: FoundRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** A revoked device, and how much of it nobody has ruled on. Times are those of receipt. */
export interface HeldDevice {
  device: string
  person: string
  role: 'owner' | 'mechanic' | 'auditor'
  is_shut: boolean
  entries: number
  jobs: number
  bytes: number
  first_received: string
  last_received: string
}

/** Revoked devices, the one heard of last first. */
export interface HeldAnswer {
  devices: HeldDevice[]
}

/** Records as they stand in the ledger, from an index on; `next` is where to go on. */
export interface HeldPage {
  records: RecordAnswer[]
  next: number
  more: boolean
}

/** A maker's document, and where in it. */
export interface CitedAnswer {
  document: string
  edition: string
  page: string
  date: string
}

/** A word in place of a house rule, whose `never` and `because` these are. `holds`: what the machine asks for in its place; `gone`: what of the house rule it no longer asks for. `whose`: the workshop's; absent: the maker's. */
export interface InsteadAnswer {
  never: string
  because: string
  holds: string[]
  gone: string[]
  says: string
  why: string
  source: CitedAnswer
  whose?: 'workshop'
}

/** A rule that holds in the place of a house rule. */
export interface RuleByWordAnswer {
  id: string
  kind: 'stop' | 'ask'
  never: string
  because: string
  instead: InsteadAnswer
}

/** A procedure that was handed in, as it would be published, and what it takes otherwise. */
export interface OfferRow {
  bundle: string
  id: string
  name: string
  edition: number
  engine_codes: string[]
  rules: RuleByWordAnswer[]
}

/** A procedure that was handed in and may no longer be published: `published` came before it. */
export interface OvertakenRow {
  bundle: string
  name: string
  edition: number
  published: number
}

/** Procedures that wait, and those that do no longer. */
export interface OffersAnswer {
  offers: OfferRow[]
  overtaken: OvertakenRow[]
}

/** A draft, its size and when it was last written. */
export interface DraftRow {
  draft: string
  bytes: number
  changed: string
}

/** The drafts, by their names. */
export interface DraftsAnswer {
  drafts: DraftRow[]
}

/** A picture of a draft. */
export interface PictureRow {
  name: string
  bytes: number
}

/** A draft: its source as it was written, finished or not, and its pictures. */
export interface DraftAnswer {
  draft: string
  version: string
  text: string
  pictures: PictureRow[]
}

/** The version of a draft after it was written. */
export interface VersionAnswer {
  version: string
}

/** A fault of a draft, or a note that is none, as `twoturns procedure check` tells it. */
export interface FindingAnswer {
  code: string
  message: string
  hint: string
  rule: string | null
  line: number | null
  column: number | null
  /** A shortest way there: `step`, or `step: failure`. */
  way: string[]
  /** In words. */
  sequence: string[]
}

/** What a check found. Proved where it has no findings. */
export interface ReportAnswer {
  /** Of the draft it is about. */
  version: string
  findings: FindingAnswer[]
  notes: FindingAnswer[]
  states: number
  rules_proven: number
  /** The text of the bundle, where the source compiles. */
  bundle: string | null
  sha256: string | null
}

/** How far a check is. `ended`: stopped, or beyond what it may take, without a report. */
export interface CheckAnswer {
  state: 'none' | 'running' | 'done' | 'ended'
  states: number
  report: ReportAnswer | null
}

/** A change in words, and the heading under which it stands. */
export interface ChangeRow {
  heading: string
  says: string
}

/** What a draft would change against the newest edition that is published, and for whom. */
export interface ChangesAnswer {
  edition: number
  against: number | null
  changes: ChangeRow[]
  /** Who worked by it. */
  persons: string[]
  /** They go on by their own edition. */
  open_jobs: number
}

/** The bundle that an owner's device may publish now. */
export interface HandedInAnswer {
  bundle: string
  /** False where it is published already. */
  is_new: boolean
}

/** An order. `left` of its `blobs` are still here and may be erased; a procedure never is. */
export interface OrderRow {
  order: string
  /** When it was received. */
  at: string
  person: string
  device: string
  reason: string
  basis: string
  /** Carried out from then on. */
  due: string
  state: 'waits' | 'withdrawn' | 'carried-out'
  is_hastened: boolean
  /** Whether this device may be the second voice. */
  may_hasten: boolean
  /** Of the withdrawal. */
  because: string | null
  blobs: number
  left: number
  jobs: string[]
}

/** How long an order waits, and how many blobs are erased in 24 hours at most. */
export interface RuleRow {
  delay_days: number
  blobs_a_day: number
}

/** A rule that was stated and has not begun. */
export interface ComingRow {
  delay_days: number
  blobs_a_day: number
  rule: string
  begins: string
}

/** Orders, the newest first; the rule that holds for them, and those that have not begun. */
export interface ErasuresAnswer {
  orders: OrderRow[]
  rule: RuleRow
  coming: ComingRow[]
}

/** Jobs, the one begun last first. */
export interface FoundAnswer {
  jobs: FoundRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** The signed head of the ledger. `rewound`: it never had the head the device has seen. */
export interface CheckpointAnswer {
  checkpoint: string
  rewound: boolean
}

/** The path of a proof (RFC 6962). */
export interface ProofAnswer {
  /** In base64. */
  path: string[]
}

/** A blob that is not what it should be. `job`, `step`, `name`: where its first entry has it. */
export interface FindingRow {
  blob: string
  found: 'altered' | 'missing' | 'mistyped' | 'misshown'
  found_at: string
  /** What it is, in words. */
  what: string
  job: string | null
  step: string | null
  name: string | null
}

/** What was found, the newest first. */
export interface FindingsAnswer {
  /** At most 200. */
  findings: FindingRow[]
  /** How many there are. */
  all: number
}

/** Every refusal looks like this: the fact, then what to do. */
export interface Problem {
  /** Stable; programs go by it. */
  code: string
  /** The fact. */
  message: string
  /** What to do. */
  hint: string
  /** The field, line or header to blame. */
  where?: string
}

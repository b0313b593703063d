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

/** Where one record stands, and a checkpoint that covers it. */
export interface PlaceAnswer {
  index: number
  record: string
  checkpoint: string
  /** Leads from the record to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
}

/** The invitation; its proof leads to the checkpoint of the enrolment. */
export interface ProvenRecordAnswer extends RecordAnswer {
  /** Leads from the record to the checkpoint's root (formats.md, section 5). In base64. */
  proof: string[]
}

/** Where the enrolment stands, proven, and the invitation that it follows from. */
export interface EnrolAnswer extends PlaceAnswer {
  /** An older workshop says nothing of it. */
  invitation?: ProvenRecordAnswer
  rewound: boolean
}

/** `is_well` with 200; without it 503. It says nothing of a workshop. */
export interface HealthAnswer {
  is_well: boolean
  /** False at the disk's floor, or while the store of the photos is away: entries go on. */
  takes_photos: boolean
  version: string
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
export interface KeptAnswer extends PlaceAnswer {
  rewound: boolean
}

/** A job's vehicle. What nobody wrote, or this device may not read, is null. */
export interface JobRow {
  job: string
  engine_code: string | null
  bay: string | null
  odometer_km: number | null
  /** What the dial counts, where it counts miles; null: kilometres. */
  odometer_unit: 'mi' | null
  vin: string | null
  plate: string | null
  /** The blob of a private value, as `phone`; null: nobody said it. */
  customer: string | null
  phone: string | null
  last_received: string
}

/** What the workshop stated that speaks against a job, and no owner has settled. */
export interface NoticeRow {
  /** closed-against-recall, approved-against-recall, lot-recalled, tool-found-out, bundle-withdrawn, bundle-not-published, tool-retired, tool-not-calibrated or shown-before */
  code: string
  message: string
  /** Of a recall, as it writes it; else null. */
  lot: string | null
  /** The tool that it is of; else null. */
  tool: string | null
  /** The recall or check whose vehicles are followed up; else null. */
  of: string | null
  /** The day by which that is to be done; null: none was named. */
  until: string | null
}

/** What was planned last. */
export interface PlannedRow {
  person: string | null
  promised: string | null
  /** Somebody else planned, too, and did not know. */
  twice: boolean
}

/** Why the work rests: `part`, `customer`, or another word. */
export interface ParkedRow {
  why: string
  part: string | null
}

/** A job in a line. `vehicle` is null when the job's procedure is not here to fold it by. */
export interface DeskRow extends JobRow {
  bundle: string | null
  vehicle: string | null
  /** enquiry: asked for and not opened; changed: approved, then changed */
  state: 'enquiry' | 'declined' | 'open' | 'closed' | 'approved' | 'changed'
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
  notices: NoticeRow[]
  /** Answers that no owner has read yet. */
  answered: number
  /** Findings that somebody has to ask about or put right. */
  findings: number
  planned: PlannedRow | null
  parked: ParkedRow | null
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
export interface FoundRow extends JobRow {
  is_closed: boolean
  /** enquiry: somebody asked for it, and it is not opened */
  stage: 'enquiry' | 'declined' | 'open' | 'closed'
}

/** A job as its owner reads it: who worked on it, and how it stands; null while that is made, or where it is not known. */
export interface JobLine extends FoundRow {
  persons: string[]
  state: 'enquiry' | 'declined' | 'open' | 'closed' | 'approved' | 'changed' | null
  exceptions: number | null
  questions: number | null
  answered: number | null
  findings: number | null
  planned: PlannedRow | null
  parked: ParkedRow | null
  done: number | null
  steps: number | null
}

/** Jobs, page by page, in the order of whoever lists them. */
export interface JobsAnswer {
  jobs: JobLine[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** A notice on its job's page. */
export interface JobNotice extends NoticeRow {
  /** By a word of the owner's: of a recall each part is replaced. */
  can_settle: boolean
  is_settled: boolean
}

/** What speaks against a job, also what its owner has settled. */
export interface NoticesAnswer {
  notices: JobNotice[]
}

/** A job of which something came in. */
export interface TodayRow extends JobLine {
  /** How many entries of each kind came in. */
  kinds: Record<string, number>
  /** Opened since; null: unknown. */
  is_new: boolean | null
}

/** Jobs, the one heard of last first. */
export interface TodayAnswer {
  jobs: TodayRow[]
  is_more: boolean
}

/** A belt that will be due. `day` is what the forecast says, between `earliest` and `latest`; `by`: what comes first. */
export interface DueRow {
  job: string
  plate: string | null
  vin: string | null
  engine_code: string | null
  customer_name: string | null
  telephone: string | null
  /** A day: YYYY-MM-DD. */
  closed_on: string
  limit_km: number
  /** What the dial counts, where it counts miles; null: kilometres. */
  odometer_unit: 'mi' | null
  /** A day: YYYY-MM-DD. */
  limit_day: string
  /** A day: YYYY-MM-DD. */
  day: string
  /** A day: YYYY-MM-DD. */
  earliest: string | null
  /** A day: YYYY-MM-DD. */
  latest: string | null
  by: 'distance' | 'date' | 'unknown'
  /** The vehicle's own use; null: read once, or it cannot be said. */
  km_a_year: number | null
  /** Above this use a year the distance comes before the date. */
  even_km_a_year: number | null
  oddities: string[]
}

/** Belts, the one that is due first first. */
export interface DueAnswer {
  dues: DueRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** Jobs that were closed in a month: of how many every step held at first, and how many came back within a year of the one before. */
export interface MonthRow {
  /** YYYY-MM */
  month: string
  jobs: number
  first_time_right: number
  comebacks: number
}

/** A step, in `jobs` jobs that tell of it: the middle of the minutes it took, what one in ten takes longer than, how often it did not hold, and how often it was opened again. */
export interface StepRow {
  procedure: string
  step: string
  jobs: number
  minutes: number | null
  slow_minutes: number | null
  failed: number
  again: number
}

/** Why a step did not hold, in the procedure's words, and how often. */
export interface CauseRow {
  procedure: string
  step: string
  says: string
  often: number
}

/** Readings: of an instrument of the phone's, figures read by eye, and what was only said. */
export interface CountsRow {
  measured: number
  read: number
  said: number
}

/** A job whose vehicle was finished here less than a year before. */
export interface ComebackRow {
  job: string
  closed_at: string
  before: string
  before_at: string
}

/** What the jobs tell that were closed last; `since`: when the first of them was. */
export interface FiguresAnswer {
  jobs: number
  since: string | null
  months: MonthRow[]
  steps: StepRow[]
  causes: CauseRow[]
  counts: CountsRow
  comebacks: ComebackRow[]
}

/** A device: when it signed in last, and when something of it came; null: not known. */
export interface ContactRow {
  device: string
  signed_in: string | null
  sent: string | null
}

/** Every device that ever enrolled. */
export interface ContactsAnswer {
  devices: ContactRow[]
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

/** What each member of a list says under one name. */
export interface MemberFieldRow {
  name: string
  kind: string
}

/** What a block asks for under one name. */
export interface FillInRow {
  name: string
  kind: string
  says: string
  unit: string
  may_lack: boolean
  /** Of a list: what each of its members says. */
  of: MemberFieldRow[]
}

/** A step that a block brings. */
export interface BlockStepRow {
  id: string
  title: string
}

/** Work that is the same on every car, to be chosen and filled in. */
export interface BlockRow {
  block: string
  edition: number
  name: string
  because: string
  /** This edition is not to be used any more. */
  withdrawn: boolean
  fill_in: FillInRow[]
  steps: BlockStepRow[]
}

/** The blocks that procedures are written with, by their names. */
export interface BlocksAnswer {
  blocks: BlockRow[]
}

/** A wheel where it stands, x right and y up, with the belt's pitch line round it. */
export interface FittedWheelAnswer {
  id: string
  x_um: number
  y_um: number
  radius_um: number
  /** Where the belt comes onto it, x and y. */
  into_um: number[]
  /** Where it leaves it, x and y. */
  out_um: number[]
  /** A decimal. */
  wrap_deg: string
  /** A decimal; null for a smooth wheel. */
  teeth_in_mesh: string | null
}

/** Teeth of the belt along the tight side, from the mark of one wheel to that of another. */
export interface CountedAnswer {
  start: string
  end: string
  /** A decimal. */
  teeth: string
}

/** What is wrong with a drive, and what to do. */
export interface FaultAnswer {
  message: string
  hint: string
}

/** How a belt fits. Without wheels nothing could be computed; `fault` says why. */
export interface FittedAnswer {
  length_mm: string
  wheels: FittedWheelAnswer[]
  /** Of the roller round its stud. */
  angles_deg: string[]
  counts: CountedAnswer[]
  /** What the drive states otherwise, or lacks. */
  fault: FaultAnswer | null
}

/** The version of a draft after it was written. */
export interface VersionAnswer {
  version: string
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

/** Where something stands in the file of the block that brought it. */
export interface BlockLineAnswer {
  block: string
  line: number
}

/** A fault of a draft, or a note that is none, as `twoturns procedure check` tells it. */
export interface FindingAnswer {
  code: string
  message: string
  hint: string
  rule: string | null
  line: number | null
  column: number | null
  block: BlockLineAnswer | null
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
export interface ComingRow extends RuleRow {
  rule: string
  begins: string
}

/** Orders, the newest first; the rule that holds for them, and those that have not begun. */
export interface ErasuresAnswer {
  orders: OrderRow[]
  rule: RuleRow
  coming: ComingRow[]
}

/** A job, and when something of it was received last. */
export interface KeptRow {
  job: string
  plate: string | null
  last_received: string
}

/** `days` as was said last (null: nobody said it), and the jobs kept longer, longest first. */
export interface RetentionAnswer {
  days: number | null
  jobs: KeptRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** A lot, as it was written down in the job that was begun last with it; `at` is of there. */
export interface LotRow {
  lot: string
  parts: string[]
  jobs: number
  /** By the clock of the device that fitted it. */
  at: string
}

/** Lots by name; `recalled`, of a first page, are those that a recall names, too. */
export interface LotsAnswer {
  lots: LotRow[]
  recalled: LotRow[]
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

/** A job of the list. What its fold comes to is null where its procedure is not here. */
export interface ListedRow extends FoundRow {
  first_received: string
  state: string | null
  exceptions: number | null
  worst: string | null
}

/** Jobs, the one that came in last first. */
export interface ListedAnswer {
  jobs: ListedRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** The ledger's size and root (hex) and, ascending, the jobs that it has of what was asked. */
export interface PopulationAnswer {
  size: number
  root: string
  jobs: string[]
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

/** Minutes that jobs took here, pauses left out: the middle one of so many finished jobs. */
export interface HoursAnswer {
  minutes: number | null
  jobs: number
}

/** How far somebody came with a vehicle, as a `recall.followed` says it. */
export interface FollowedRow {
  entry: string
  how: string
  /** By the clock of the device. */
  at: string
  person: string
  /** The blob of a private value. */
  words: string | null
}

/** A part of the lot that is in the engine. `asks`: nobody has replaced it or taken it over. */
export interface RecalledPart {
  part: string
  lot: string
  asks: boolean
}

/** What the tool tightened: as it was written down, and what the fastener really got. */
export interface FastenerRow {
  entry: string
  step: string
  /** In the procedure's words. */
  where: string
  /** By the clock of the device. */
  at: string
  value: string
  unit: string
  low: string | null
  high: string | null
  /** On the tool's scale. */
  setting: string
  /** Null: the setting is outside of the points that were checked. */
  actual: string | null
  verdict: 'outside' | 'unknown' | 'inside'
  /** How far out of its limits, of what was asked for. */
  beyond_permille: number
  /** Tightened again, or taken over as it is. */
  is_settled: boolean
}

/** A job's vehicle. What is not here or was erased is null. */
export interface VehicleRow {
  job: string
  plate: string | null
  vin: string | null
  engine_code: string | null
  odometer_km: number | null
  /** What the dial counts, where it counts miles; null: kilometres. */
  odometer_unit: 'mi' | null
  begun: string
  is_closed: boolean
  customer: string | null
  phone: string | null
  /** The last one last. */
  followed: FollowedRow[]
  parts: RecalledPart[]
  /** The worst first. */
  fasteners: FastenerRow[]
  /** Nothing more is to be done. */
  is_done: boolean
  /** In which the part was fitted of another lot since. */
  later_job: string | null
}

/** A recall (`kind` lot) or a check that found a tool out (tool), and its vehicles, the job begun last first. A page looks at so many jobs and may hold fewer vehicles, or none. */
export interface FollowUpAnswer {
  of: string
  kind: 'lot' | 'tool'
  name: string
  /** Of a check its certificate. */
  because: string
  /** The day by which it is done. */
  until: string | null
  /** The day of a check. */
  on: string
  vehicles: VehicleRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** As the phone judged it when it was taken. */
export interface PhotoQuality {
  sharp_tenths: number
  mean: number
  blown_permille: number
}

/** A photo as its entry has it. `index`: its record's place in the ledger, which proves it. */
export interface PhotoRow {
  index: number
  id: string
  job: string
  bundle: string | null
  engine_code: string | null
  /** Null where it is not here, or not for this device. */
  plate: string | null
  step: string
  name: string
  blob: string
  how: 'live' | 'picked'
  quality: PhotoQuality | null
  person: string
  /** By the device's own clock. */
  at: string
  /** By the workshop's clock. */
  received: string
  standing: 'good' | 'gap' | 'doubted' | 'forked'
}

/** Photos, the one received last first. */
export interface PhotosAnswer {
  photos: PhotoRow[]
  /** What the next page is asked for with; null: this is the last one. */
  next: string | null
}

/** A line under a heading. `value`: its private words; null if it has none, or they are gone. */
export interface CustomerRowAnswer {
  under: string
  name: string
  says: string | null
  value: string | null
  is_private: boolean
}

/** A photo that may be seen, and what it shows. */
export interface CustomerPhotoAnswer {
  blob: string
  label: string
}

/** What was done, as the customer is told. `foot`: how the id of the entry begins. */
export interface CustomerPageAnswer {
  workshop: string
  said: string
  until: string
  foot: string
  rows: CustomerRowAnswer[]
  photos: CustomerPhotoAnswer[]
  /** The job's evidence bag may be taken along. */
  has_bag: boolean
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

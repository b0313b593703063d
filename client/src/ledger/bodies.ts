/**
 * What each kind of entry says.
 * Written by `python -m twoturns.ledger.types`: change bodies.py, not this.
 */
import type { Form, ObjectForm } from './body-form'

/** A private value: the SHA-256 of its blob. */
export interface Ref {
  blob: string
}

/** A vehicle came in and a bundle was chosen. */
export interface JobOpened {
  bundle: string
  vin: Ref
  plate: Ref
  odometer_km: number
  engine_code: string
  bay: string
  customer?: Ref
  phone?: Ref
  odometer_unit?: 'mi'
}

/** The kind says it all. */
export type Nothing = Record<string, never>

/** A tool went into the engine bay, or came back. */
export interface ToolMoved {
  tool: string
  id?: string
}

/** A tool will not come back. */
export interface ToolLost {
  tool: string
  because: Ref
}

/** A part went in, from which lot. `code` is what the camera read; typed lots have none. */
export interface PartFitted {
  step: string
  name: string
  part: string
  lot: string
  serial?: string
  code?: string
}

/** A step was begun. */
export interface StepNamed {
  step: string
}

/** A house rule that asks was passed: why, and a photo. */
export interface Passed {
  rule: string
  because: Ref
  photo: string
}

/** A step was done, and what proves it. */
export interface StepDone {
  step: string
  proof: string[]
  passed?: Passed[]
}

/** A step failed in one of the ways its bundle knows. */
export interface StepFailed {
  step: string
  failure: string
  proof: string[]
  words?: Ref
}

/** A step is to be done again. */
export interface StepReopened {
  step: string
  because: Ref
}

/** Someone looked how a condition is. */
export interface ConditionSeen {
  condition: string
  value: string
}

/** What sat between wrench and fastener: the wrench was set to the corrected value. */
export interface Adaptor {
  wrench_mm: number
  adaptor_mm: number
  angle_deg: number
}

/** Something that an instrument saw or heard, kept so that its value can be computed anew. */
export interface Saw {
  blob: string
  size: number
  type: 'application/json' | 'audio/wav'
}

/** A value was read, the limits it was read against, and with what. `by` is the phone's instrument; without it the value was read by eye. */
export interface ReadingTaken {
  step: string
  name: string
  value: string
  unit: string
  low?: string
  high?: string
  tool?: string
  photo?: string
  adaptor?: Adaptor
  by?: 'pluck' | 'marks' | 'turn' | 'scan'
  saw?: Saw[]
}

/** A reading was written down wrong. */
export interface ReadingCorrected {
  of: string
  value: string
  because: Ref
}

/** How sharp and how bright a photo is: `instruments/sharpness` says how it is measured. */
export interface Quality {
  sharp_tenths: number
  mean: number
  blown_permille: number
}

/** A photo: its bytes are a blob. Width and height are 0, and there is no quality, when the phone cannot tell. */
export interface PhotoTaken {
  step: string
  name: string
  blob: string
  size: number
  type: 'image/jpeg' | 'image/png' | 'image/webp' | 'image/heic'
  width: number
  height: number
  how: 'live' | 'picked'
  quality?: Quality
}

/** Words, about a step or the job. */
export interface NoteAdded {
  step?: string
  name?: string
  text: Ref
  photo?: string
}

/** The owner's question on a step, or on a photo of it. */
export interface ReviewReturned {
  step: string
  question: Ref
  photo?: string
}

/** The answer to a question. */
export interface ReviewAnswered {
  question: string
  words?: Ref
  photo?: string
}

/** The owner accepts that a step was not proved. */
export interface ReviewGap {
  step: string
  because: Ref
  question?: string
}

/** The owner takes over that parts of a recalled lot stay in this engine. */
export interface RecallBorne {
  recall: string
  parts: string[]
  because: Ref
}

/** How far somebody came with one vehicle of a recall, or of a wrench that was found out: `how` is `told`, `not_reached`, `answered`, `replaced`, `retightened` or `accepted`. */
export interface RecallFollowed {
  of: string
  how: string
  words?: Ref
}

/** The job came to one of its ends. */
export interface JobClosed {
  end: string
  because?: Ref
}

/** The owner has seen to what the workshop's statements speak against a job: which notice, of which tool or procedure, and why it need not be said any more. */
export interface NoticeSettled {
  notice: string
  about?: string
  because: Ref
}

/** A question of the triage, and what the caller said to it (`trade/triage`). */
export interface Answer {
  ask: string
  said: string
}

/** Somebody called about a vehicle: what is known of it, when its belt was fitted and how long one may last there, where it stands, what was advised and why, what the caller was told to do and not to do, and what was warned of in writing. `confirmed`: what was asked back, and is so. */
export interface EnquiryTaken {
  customer?: Ref
  phone?: Ref
  plate?: Ref
  vin?: Ref
  engine_code?: string
  odometer_km?: number
  odometer_unit?: 'mi'
  noticed?: string[]
  words?: Ref
  fitted_on?: string
  fitted_km?: number
  interval_km?: number
  interval_months?: number
  severe_percent?: number
  due?: string
  due_on?: string
  due_km?: number
  triage?: Answer[]
  advice?: string
  because?: string[]
  told?: string[]
  warning?: Ref
  confirmed?: string[]
}

/** The customer does not want the work. `how`: by what way they said so, after the warning. */
export interface EnquiryDeclined {
  enquiry: string
  how: string
  words?: Ref
}

/** Something was found at a step that the procedure does not put right. `name` and `value`, or `failure`: the choice, or the failure, that offered it. */
export interface FindingNoted {
  step: string
  name?: string
  value?: string
  failure?: string
  words?: Ref
  photo?: string
}

/** The customer's word on a finding, and how it came (`call`, `message`, `signature`, `there`). A yes is to the `extras` that were named. */
export interface FindingAnswered {
  finding: string
  answer: 'yes' | 'no'
  how: string
  extras?: string[]
  words?: Ref
  signature?: Ref
}

/** A finding asks for nothing more: it was put right (`done`), or it is none (`dropped`). */
export interface FindingSettled {
  finding: string
  how: string
  words?: Ref
  photo?: string
}

/** Work beside the procedure's, for a finding: what, with which part, in how many minutes. */
export interface ExtraAdded {
  finding: string
  what: Ref
  part?: string
  minutes?: number
}

/** Such work is done, and what shows it. */
export interface ExtraDone {
  extra: string
  words?: Ref
  photo?: string
  value?: string
  unit?: string
}

/** Who is to do a job, and when it is promised. It takes the place of what was planned. */
export interface JobPlanned {
  person?: string
  promised?: string
}

/** The work rests, and why: `part` (it is missing), `customer`, or another word. */
export interface JobParked {
  why: string
  part?: string
  words?: Ref
}

/** A line of a hand-over sheet, under a heading: in clear, or a private value. */
export interface SheetRow {
  under: string
  name: string
  says?: string
  value?: Ref
}

/** A photo of this job that its customer may see. */
export interface ShownPhoto {
  photo: string
  label: string
}

/** Whoever has the secret of which `token` is the SHA-256 may read these rows and photos, until a time; and take the job's evidence bag along, with `copies` of those photos. */
export interface PageShared {
  token: string
  until: string
  rows: SheetRow[]
  photos?: ShownPhoto[]
  bag?: 'copies'
}

/** A page is not to be read any more. */
export interface PageEnded {
  page: string
}

/** The key that hands over, and its signature over the succession message. */
export interface SignedBy {
  key: string
  signature: string
}

/** The recovery key, its signature, and the records that it trusts: how many, their root. */
export interface Recovered {
  key: string
  signature: string
  size: number
  root: string
}

/** A workshop key. The first stands for itself; a later one is handed over to, or recovered. `recovery` is the thumbprint of a recovery key: of the first one, or of a recovery's next. */
export interface WorkshopKeyed {
  key: string
  name: string
  signed_by?: SignedBy
  edition?: number
  recovery?: string
  recovered?: Recovered
}

/** What an auditor may see, where it is not all: these jobs, those that came in from one day to another, private values of these fields; until an end. */
export interface Scope {
  jobs?: string[]
  days?: string[]
  values?: string[]
  end?: string
}

/** Whoever holds the invitation's key may enrol one device. */
export interface DeviceInvited {
  key: string
  role: 'owner' | 'mechanic' | 'auditor'
  person: string
  until: string
  scope?: Scope
}

/** A device came in on an invitation. */
export interface DeviceEnrolled {
  key: string
  invitation: string
  countersign: string
}

/** What a device writes from here on is doubted (`device.revoked`), or is not taken any more, not even to be held back (`device.shut`). */
export interface DeviceBarred {
  device: string
  because: string
}

/** A person's name. */
export interface PersonNamed {
  person: string
  name: Ref
}

/** A bundle may be worked by. */
export interface BundlePublished {
  bundle: string
  name: string
  edition: number
  engine_codes: string[]
}

/** A bundle must not be worked by any more. */
export interface BundleWithdrawn {
  bundle: string
  because: string
}

/** A measuring tool of the workshop, its range, and how true it is by its maker's word. */
export interface ToolRegistered {
  tool: string
  type: string
  label: string
  low?: string
  high?: string
  unit?: string
  accuracy?: string
}

/** A file that is kept like a photo: a certificate, a picture. `type` is its media type. */
export interface Document {
  blob: string
  size: number
  type: string
}

/** A tool was calibrated. */
export interface ToolCalibrated {
  tool: string
  on: string
  due: string
  certificate?: string
  document?: Document
}

/** What a tool was set to and what it delivered, in the check's unit. */
export interface FoundPoint {
  nominal: string
  found: string
  direction?: 'clockwise' | 'anticlockwise'
}

/** How a tool was found, before anybody adjusted it. `until` is the day by which the vehicles of a tool that was found out are to be followed up. With `allowed` it is one that shows: `nominal` is what was there, `found` what it showed, and `allowed`, in `unit`, what it may be off. */
export interface ToolChecked {
  tool: string
  on: string
  unit: string
  points: FoundPoint[]
  allowed_percent: string
  allowed?: string
  certificate?: string
  until?: string
}

/** A lot of parts must not be fitted any more. `until` is the day by which its vehicles are to be followed up. */
export interface LotRecalled {
  lot: string
  because: string
  until?: string
}

/** Entries that were marked count as good again (`work.accepted`), or those of a revoked device that were held back stay so: nobody is given them (`work.refused`). */
export interface WorkRuled {
  entries: string[]
  because: string
}

/** For whom a device speaks besides the person of its invitation, from here on. */
export interface DeviceServes {
  device: string
  persons: string[]
}

/** A blob and its size in bytes. */
export interface KeptBlob {
  blob: string
  size: number
}

/** Blobs are whole on the workshop's disk. */
export interface BlobKept {
  blobs: KeptBlob[]
}

/** A blob's bytes are gone, why and on what basis. */
export interface BlobErased {
  blob: string
  reason: string
  basis: string
}

/** A backup covers the first `size` records. */
export interface BackupMade {
  size: number
}

/** The owner states that another backup covers the first `size` records. */
export interface BackupOutside {
  size: number
  until: string
}

/** How many days jobs are kept. */
export interface RetentionSet {
  days: number
}

/** From its place in the ledger on, the rules of an edition hold; never backwards. */
export interface RulesBegan {
  edition: number
}

/** These blobs are to be erased, why and on what basis. All of one person's or one job's stand in one order: it is carried out whole. */
export interface ErasureOrdered {
  blobs: string[]
  reason: string
  basis: string
}

/** An order, or a rule that has not begun, does not stand (`erasure.withdrawn`); or an order need not wait: said by a second owner, or by the console (`erasure.hastened`). */
export interface ErasureRevised {
  order: string
  because: string
}

/** How long an order waits, and how many blobs a day erases. Holds after the delay of before. */
export interface ErasureRuled {
  delay_days: number
  blobs_a_day: number
}

/** The thumbprint of a recovery key; one that follows another is signed by that one. */
export interface RecoveryCommitted {
  recovery: string
  signed_by?: SignedBy
}

/** What was said of a tool at its registering was wrong: this stands in its place, and why. */
export interface ToolCorrected extends ToolRegistered {
  because: string
}

/** A tool must not be used any more. One that is registered again is back. */
export interface ToolRetired {
  tool: string
  because: string
}

/** One piece of a set: what it is called, what more is said of it, and its picture. */
export interface Piece {
  piece: string
  says?: string
  picture?: Document
}

/** What belongs together and is counted together: a set of locking tools, a kit of parts. The last statement of a set stands in the place of those before. */
export interface SetRegistered {
  set: string
  type: string
  label: string
  engine_codes: string[]
  pieces: Piece[]
  picture?: Document
}

/** A set is not there any more. One that is registered again is back. */
export interface SetRetired {
  set: string
  because: string
}

/** A person may do what asks for a permit (high voltage, ...), from a day on, until a day. */
export interface PermitGiven {
  person: string
  permit: string
  on: string
  until?: string
  document?: Document
}

/** A permit does not hold any more. */
export interface PermitEnded {
  permit: string
  because: string
}

/** What a device is called in the workshop. It may be somebody's name: a private value. */
export interface DeviceNamed {
  device: string
  name: Ref
}

/** What the jobs of a population have in common; what is absent was not asked for. `days` are the first and the last on which a job came in, `exception` a code of the fold. */
export interface Filter {
  days?: string[]
  person?: string
  bundle?: string
  engine_code?: string
  exception?: string
  tool?: string
  lot?: string
}

/** The population of a sample: these jobs, by a filter, out of the ledger of this size and root. */
export interface AuditFrozen {
  size: number
  root: string
  filter: Filter
  jobs: string[]
}

/** The auditor's own word, given after a freeze, and how many jobs are drawn by it. */
export interface AuditDrawn {
  freeze: string
  word: string
  count: number
}

/** What an auditor found: of a job, of a step in it, in a sample, or of the workshop. */
export interface AuditFound {
  about?: string
  step?: string
  freeze?: string
  text: Ref
}

/** What the workshop says to a finding; `about` is the finding's. */
export interface AuditAnswered {
  finding: string
  about?: string
  text: Ref
}

/** A finding is settled, by the auditor's word; `about` is the finding's. */
export interface AuditClosed {
  finding: string
  about?: string
  text?: Ref
}

export interface Bodies {
  'job.opened': JobOpened
  'job.taken': Nothing
  'tool.out': ToolMoved
  'tool.in': ToolMoved
  'tool.lost': ToolLost
  'part.fitted': PartFitted
  'step.begun': StepNamed
  'step.done': StepDone
  'step.failed': StepFailed
  'step.reopened': StepReopened
  'condition.seen': ConditionSeen
  'reading.taken': ReadingTaken
  'reading.corrected': ReadingCorrected
  'photo.taken': PhotoTaken
  'note.added': NoteAdded
  'review.returned': ReviewReturned
  'review.answered': ReviewAnswered
  'review.gap': ReviewGap
  'review.approved': Nothing
  'recall.borne': RecallBorne
  'recall.followed': RecallFollowed
  'job.closed': JobClosed
  'notice.settled': NoticeSettled
  'enquiry.taken': EnquiryTaken
  'enquiry.declined': EnquiryDeclined
  'finding.noted': FindingNoted
  'finding.answered': FindingAnswered
  'finding.settled': FindingSettled
  'extra.added': ExtraAdded
  'extra.done': ExtraDone
  'job.planned': JobPlanned
  'job.parked': JobParked
  'job.resumed': Nothing
  'page.shared': PageShared
  'page.ended': PageEnded
  'workshop.keyed': WorkshopKeyed
  'device.invited': DeviceInvited
  'device.enrolled': DeviceEnrolled
  'device.revoked': DeviceBarred
  'person.named': PersonNamed
  'bundle.published': BundlePublished
  'bundle.withdrawn': BundleWithdrawn
  'tool.registered': ToolRegistered
  'tool.calibrated': ToolCalibrated
  'tool.checked': ToolChecked
  'lot.recalled': LotRecalled
  'work.accepted': WorkRuled
  'work.refused': WorkRuled
  'device.shut': DeviceBarred
  'device.serves': DeviceServes
  'blob.kept': BlobKept
  'blob.erased': BlobErased
  'backup.made': BackupMade
  'backup.outside': BackupOutside
  'retention.set': RetentionSet
  'rules.began': RulesBegan
  'erasure.ordered': ErasureOrdered
  'erasure.withdrawn': ErasureRevised
  'erasure.hastened': ErasureRevised
  'erasure.ruled': ErasureRuled
  'recovery.committed': RecoveryCommitted
  'tool.corrected': ToolCorrected
  'tool.retired': ToolRetired
  'set.registered': SetRegistered
  'set.retired': SetRetired
  'permit.given': PermitGiven
  'permit.ended': PermitEnded
  'device.named': DeviceNamed
  'audit.frozen': AuditFrozen
  'audit.drawn': AuditDrawn
  'audit.found': AuditFound
  'audit.answered': AuditAnswered
  'audit.closed': AuditClosed
}

export type Kind = keyof Bodies
export type Body<K extends Kind> = Bodies[K]
export type Role = 'owner' | 'mechanic' | 'auditor'

/** The newest edition of kinds and fields that this program knows. */
export const EDITION = 3

export type JobKind = keyof typeof jobForms

const form1: Form = {"pattern":"[0-9a-f]{64}","expected":"a SHA-256 in 64 lower-case hex digits"}
const form2: Form = {"object":{"members":{"blob":form1}}}
const form3: Form = {"from":0}
const form4: Form = {"text":[1,64]}
const form5: Form = {"choices":["mi"]}
const form6: Form = {"pattern":"[a-z][a-z0-9_]{0,63}","expected":"a name, [a-z][a-z0-9_]* of at most 64 characters"}
const form7: Form = {"text":[1,500]}
const form8: Form = {"pattern":"[0-9a-f]{64}","expected":"an entry's id, 64 lower-case hex digits"}
const form9: Form = {"list":form8,"length":[0,100]}
const form10: Form = {"object":{"members":{"rule":form6,"because":form2,"photo":form8}}}
const form11: Form = {"list":form10,"length":[1,20]}
const form12: Form = {"text":[0,16]}
const form13: Form = {"pattern":"-?(0|[1-9][0-9]*)(\\.[0-9]+)?","expected":"a decimal in a string, as \"26.50\""}
const form14: Form = {"from":1}
const form15: Form = {"object":{"members":{"wrench_mm":form14,"adaptor_mm":form14,"angle_deg":form3}}}
const form16: Form = {"choices":["pluck","marks","turn","scan"]}
const form17: Form = {"choices":["application/json","audio/wav"]}
const form18: Form = {"object":{"members":{"blob":form1,"size":form14,"type":form17}}}
const form19: Form = {"list":form18,"length":[1,6]}
const form20: Form = {"choices":["image/jpeg","image/png","image/webp","image/heic"]}
const form21: Form = {"choices":["live","picked"]}
const form22: Form = {"object":{"members":{"sharp_tenths":form3,"mean":form3,"blown_permille":form3}}}
const form23: Form = {"list":form8,"length":[1,900]}
const form24: Form = {"list":form6,"length":[0,30]}
const form25: Form = {"pattern":"[0-9]{4}-[0-9]{2}-[0-9]{2}","expected":"a day, YYYY-MM-DD"}
const form26: Form = {"object":{"members":{"ask":form6,"said":form6}}}
const form27: Form = {"list":form26,"length":[0,30]}
const form28: Form = {"choices":["yes","no"]}
const form29: Form = {"list":form8,"length":[0,50]}
const form30: Form = {"text":[1,16]}
const form31: Form = {"pattern":"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}","expected":"a UUID of version 7 in lower case"}
const form32: Form = {"pattern":"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\\.[0-9]{3}Z","expected":"a time, YYYY-MM-DDTHH:MM:SS.mmmZ"}
const form33: Form = {"text":[1,200]}
const form34: Form = {"object":{"members":{"under":form4,"name":form33,"says?":form7,"value?":form2},"any_of":["says","value"]}}
const form35: Form = {"list":form34,"length":[1,200]}
const form36: Form = {"object":{"members":{"photo":form8,"label":form33}}}
const form37: Form = {"list":form36,"length":[1,12]}
const form38: Form = {"choices":["copies"]}
const form39: Form = {"pattern":"[A-Za-z0-9_-]{43}","expected":"a key, 43 characters of base64url"}
const form40: Form = {"pattern":"[A-Za-z0-9_-]{86}","expected":"a signature, 86 characters of base64url"}
const form41: Form = {"object":{"members":{"key":form39,"signature":form40}}}
const form42: Form = {"pattern":"[A-Za-z0-9_-]{43}","expected":"a thumbprint, 43 characters of base64url"}
const form43: Form = {"object":{"members":{"key":form39,"signature":form40,"size":form14,"root":form1}}}
const form44: Form = {"choices":["owner","mechanic","auditor"]}
const form45: Form = {"list":form31,"length":[1,500]}
const form46: Form = {"list":form25,"length":[2,2]}
const form47: Form = {"list":form6,"length":[0,20]}
const form48: Form = {"object":{"members":{"jobs?":form45,"days?":form46,"values?":form47,"end?":form32}}}
const form49: Form = {"list":form4,"length":[0,200]}
const form50: Form = {"object":{"members":{"blob":form1,"size":form14,"type":form4}}}
const form51: Form = {"choices":["clockwise","anticlockwise"]}
const form52: Form = {"object":{"members":{"nominal":form13,"found":form13,"direction?":form51}}}
const form53: Form = {"list":form52,"length":[1,20]}
const form54: Form = {"list":form31,"length":[0,50]}
const form55: Form = {"object":{"members":{"blob":form1,"size":form3}}}
const form56: Form = {"list":form55,"length":[1,500]}
const form57: Form = {"from":2}
const form58: Form = {"list":form1,"length":[1,800]}
const form59: Form = {"object":{"members":{"piece":form33,"says?":form33,"picture?":form50}}}
const form60: Form = {"list":form59,"length":[0,100]}
const form61: Form = {"object":{"members":{"days?":form46,"person?":form31,"bundle?":form1,"engine_code?":form4,"exception?":form4,"tool?":form4,"lot?":form4}}}
const form62: Form = {"list":form31,"length":[1,1500]}

/** The checks, as data: `checkBody` in forms.ts runs them. Those of a job's entries. */
export const jobForms = {
  'job.opened': {"members":{"bundle":form1,"vin":form2,"plate":form2,"odometer_km":form3,"engine_code":form4,"bay":form4,"customer?":form2,"phone?":form2,"odometer_unit?":form5}},
  'job.taken': {"members":{}},
  'tool.out': {"members":{"tool":form6,"id?":form4}},
  'tool.in': {"members":{"tool":form6,"id?":form4}},
  'tool.lost': {"members":{"tool":form6,"because":form2}},
  'part.fitted': {"members":{"step":form6,"name":form6,"part":form4,"lot":form4,"serial?":form4,"code?":form7}},
  'step.begun': {"members":{"step":form6}},
  'step.done': {"members":{"step":form6,"proof":form9,"passed?":form11}},
  'step.failed': {"members":{"step":form6,"failure":form6,"proof":form9,"words?":form2}},
  'step.reopened': {"members":{"step":form6,"because":form2}},
  'condition.seen': {"members":{"condition":form6,"value":form4}},
  'reading.taken': {"members":{"step":form6,"name":form6,"value":form7,"unit":form12,"low?":form13,"high?":form13,"tool?":form4,"photo?":form8,"adaptor?":form15,"by?":form16,"saw?":form19}},
  'reading.corrected': {"members":{"of":form8,"value":form7,"because":form2}},
  'photo.taken': {"members":{"step":form6,"name":form6,"blob":form1,"size":form14,"type":form20,"width":form3,"height":form3,"how":form21,"quality?":form22}},
  'note.added': {"members":{"step?":form6,"name?":form6,"text":form2,"photo?":form8}},
  'review.returned': {"members":{"step":form6,"question":form2,"photo?":form8}},
  'review.answered': {"members":{"question":form8,"words?":form2,"photo?":form8},"any_of":["words","photo"]},
  'review.gap': {"members":{"step":form6,"because":form2,"question?":form8}},
  'review.approved': {"members":{}},
  'recall.borne': {"members":{"recall":form8,"parts":form23,"because":form2}},
  'recall.followed': {"members":{"of":form8,"how":form6,"words?":form2}},
  'job.closed': {"members":{"end":form6,"because?":form2}},
  'notice.settled': {"members":{"notice":form4,"about?":form4,"because":form2}},
  'enquiry.taken': {"members":{"customer?":form2,"phone?":form2,"plate?":form2,"vin?":form2,"engine_code?":form4,"odometer_km?":form3,"odometer_unit?":form5,"noticed?":form24,"words?":form2,"fitted_on?":form25,"fitted_km?":form3,"interval_km?":form14,"interval_months?":form14,"severe_percent?":form14,"due?":form6,"due_on?":form25,"due_km?":form3,"triage?":form27,"advice?":form6,"because?":form24,"told?":form24,"warning?":form2,"confirmed?":form24}},
  'enquiry.declined': {"members":{"enquiry":form8,"how":form6,"words?":form2}},
  'finding.noted': {"members":{"step":form6,"name?":form6,"value?":form4,"failure?":form6,"words?":form2,"photo?":form8},"any_of":["words","photo"]},
  'finding.answered': {"members":{"finding":form8,"answer":form28,"how":form6,"extras?":form29,"words?":form2,"signature?":form2}},
  'finding.settled': {"members":{"finding":form8,"how":form6,"words?":form2,"photo?":form8}},
  'extra.added': {"members":{"finding":form8,"what":form2,"part?":form4,"minutes?":form14}},
  'extra.done': {"members":{"extra":form8,"words?":form2,"photo?":form8,"value?":form13,"unit?":form30},"any_of":["words","photo","value"]},
  'job.planned': {"members":{"person?":form31,"promised?":form32},"any_of":["person","promised"]},
  'job.parked': {"members":{"why":form6,"part?":form4,"words?":form2}},
  'job.resumed': {"members":{}},
  'page.shared': {"members":{"token":form1,"until":form32,"rows":form35,"photos?":form37,"bag?":form38}},
  'page.ended': {"members":{"page":form8}},
} satisfies Partial<Record<Kind, ObjectForm>>

const workshopForms = {
  'workshop.keyed': {"members":{"key":form39,"name":form33,"signed_by?":form41,"edition?":form14,"recovery?":form42,"recovered?":form43}},
  'device.invited': {"members":{"key":form39,"role":form44,"person":form31,"until":form32,"scope?":form48}},
  'device.enrolled': {"members":{"key":form39,"invitation":form8,"countersign":form40}},
  'device.revoked': {"members":{"device":form42,"because":form7}},
  'person.named': {"members":{"person":form31,"name":form2}},
  'bundle.published': {"members":{"bundle":form1,"name":form33,"edition":form14,"engine_codes":form49}},
  'bundle.withdrawn': {"members":{"bundle":form1,"because":form7}},
  'tool.registered': {"members":{"tool":form4,"type":form6,"label":form33,"low?":form13,"high?":form13,"unit?":form30,"accuracy?":form4}},
  'tool.calibrated': {"members":{"tool":form4,"on":form25,"due":form25,"certificate?":form33,"document?":form50}},
  'tool.checked': {"members":{"tool":form4,"on":form25,"unit":form30,"points":form53,"allowed_percent":form13,"allowed?":form13,"certificate?":form33,"until?":form25}},
  'lot.recalled': {"members":{"lot":form4,"because":form7,"until?":form25}},
  'work.accepted': {"members":{"entries":form23,"because":form7}},
  'work.refused': {"members":{"entries":form23,"because":form7}},
  'device.shut': {"members":{"device":form42,"because":form7}},
  'device.serves': {"members":{"device":form42,"persons":form54}},
  'blob.kept': {"members":{"blobs":form56}},
  'blob.erased': {"members":{"blob":form1,"reason":form7,"basis":form7}},
  'backup.made': {"members":{"size":form3}},
  'backup.outside': {"members":{"size":form3,"until":form32}},
  'retention.set': {"members":{"days":form14}},
  'rules.began': {"members":{"edition":form57}},
  'erasure.ordered': {"members":{"blobs":form58,"reason":form7,"basis":form7}},
  'erasure.withdrawn': {"members":{"order":form8,"because":form7}},
  'erasure.hastened': {"members":{"order":form8,"because":form7}},
  'erasure.ruled': {"members":{"delay_days":form14,"blobs_a_day":form14}},
  'recovery.committed': {"members":{"recovery":form42,"signed_by?":form41}},
  'tool.corrected': {"members":{"tool":form4,"type":form6,"label":form33,"low?":form13,"high?":form13,"unit?":form30,"accuracy?":form4,"because":form7}},
  'tool.retired': {"members":{"tool":form4,"because":form7}},
  'set.registered': {"members":{"set":form4,"type":form6,"label":form33,"engine_codes":form49,"pieces":form60,"picture?":form50}},
  'set.retired': {"members":{"set":form4,"because":form7}},
  'permit.given': {"members":{"person":form31,"permit":form6,"on":form25,"until?":form25,"document?":form50}},
  'permit.ended': {"members":{"permit":form8,"because":form7}},
  'device.named': {"members":{"device":form42,"name":form2}},
  'audit.frozen': {"members":{"size":form14,"root":form1,"filter":form61,"jobs":form62}},
  'audit.drawn': {"members":{"freeze":form8,"word":form33,"count":form14}},
  'audit.found': {"members":{"about?":form31,"step?":form6,"freeze?":form8,"text":form2}},
  'audit.answered': {"members":{"finding":form8,"about?":form31,"text":form2}},
  'audit.closed': {"members":{"finding":form8,"about?":form31,"text?":form2}},
}

export const bodyForms: Record<Kind, ObjectForm> = { ...jobForms, ...workshopForms }

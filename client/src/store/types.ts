/**
 * What the rest of the app may ask of the store: the only door to what this phone keeps.
 *
 * A promise that `write` resolves is the only ground on which a screen may say *on this phone*:
 * entries, private values and photo bytes are then committed strictly, read back and compared.
 */
import type { ReadonlySignal } from '@preact/signals'
import type { Body, Kind, Ref, Role } from '../ledger/bodies'
import type { Entry } from '../ledger/entry'
import type { PrivateField } from '../ledger/private'
import type { Bundle } from '../procedure/bundle'

/** This browser profile as the workshop knows it. The private key cannot leave the profile. */
export interface Device {
  /** Thumbprint of the device key. */
  id: string
  /** Public key, base64url. */
  key: string
  /** Null once the phone was signed out: it signs nothing any more. */
  secret: CryptoKey | null
  /** Workshop id: the fingerprint on paper. */
  workshop: string
  /** The pinned workshop key, base64url: what signs checkpoints. */
  workshopKey: string
  workshopName: string
  person: string
  role: Role
  /** Empty until the person's name has been pulled. */
  personName: string
  /** Absent where the workshop was an older one when it let this phone in. */
  receipt?: EnrolmentReceipt
  /** Those of the devices that this phone was before, in the same workshop: what it wrote then may wait still. */
  former?: EnrolmentReceipt[]
}

export interface PhotoName {
  blob: string
  size: number
  type: string
}

/** A record with what proves it under a checkpoint. */
export interface ProvenRecord {
  index: number
  record: string
  /** Base64. */
  proof: string[]
}

/** That this phone is in: shown to a workshop that was put back to before it came, it lets the phone in again. */
export interface EnrolmentReceipt {
  checkpoint: string
  invitation: ProvenRecord
  enrolment: ProvenRecord
}

/**
 * The owner has withdrawn this phone or shut it out, an auditor's time is over, or somebody has signed it out: it shows
 * nothing of what it keeps. Only of a phone that is withdrawn and no more than that does the workshop still take anything.
 */
export type Sealed = 'revoked' | 'shut' | 'over' | 'signed-out'

/** How the workshop's ledger stands to an entry (formats.md, section 4). */
export type Standing = 'good' | 'gap' | 'doubted' | 'forked'

/** A key that was made and has signed its enrolment, and nobody has answered yet. */
export interface Joining {
  invitation: string
  device: Device
  entry: Entry
}

/** *On this phone*, *in the workshop*, *backed up*: never one shown for another. */
export type Place = 'phone' | 'workshop' | 'backup'

/** A fact and what to do about it, in words for the person who reads the screen. */
export interface Trouble {
  code: string
  message: string
  hint: string
  /** The same as it is said at a desk, where that differs. */
  atDesk?: { message: string; hint: string }
}

export interface Held {
  entry: Entry
  place: Place
  /** Place in the workshop's ledger; null until received. */
  index: number | null
  standing: Standing
  /** Written on this phone. */
  mine: boolean
  /** The workshop would not take it; it stays here with the reason. */
  refused?: Trouble
}

export interface JobRow {
  job: string
  bundle: string
  engineCode: string
  bay: string
  odometerKm: number
  /** What its dial counts, where that is miles. */
  odometerUnit: 'mi' | null
  vin: Ref
  plate: Ref
  /** Null where nobody was named. */
  customer: Ref | null
  phone: Ref | null
  openedAt: string
  openedBy: string
  /** Name of the end of the last `job.closed`, null while the job is open. */
  end: string | null
  approved: boolean
  /** Highest `at` in the job: for showing only. */
  lastAt: string
  lastDevice: string
  lastPerson: string
  entries: number
  /** This phone wrote in it. */
  mine: boolean
}

/** What is kept of a job beside its entries (`view.ts`). */
export interface JobView {
  /** Job id, or '' for the workshop's statements. */
  job: string
  /** Entries that no held entry names in its `after`. */
  heads: string[]
  /** Named by a held entry, but not here yet: they will not be heads when they come. */
  missing: string[]
  entries: number
  opened: { body: Body<'job.opened'>; at: string; person: string } | null
  /** The call that was taken last; absent where nobody called. */
  enquiry?: { id: string; body: Body<'enquiry.taken'>; at: string; person: string }
  /** When the customer said no to it. */
  declined?: string
  end: string | null
  approved: boolean
  lastAt: string
  lastDevice: string
  lastPerson: string
  /** This phone wrote in it. */
  mine: boolean
  /** 1 while the job is open and this phone wrote in it. */
  openHere?: 1
}

export interface BundleRow {
  bundle: string
  id: string
  name: string
  edition: number
  engineCodes: string[]
  /** May be used for a new job: every picture is here and it is not withdrawn. */
  offered: boolean
  /** Why it is not offered, in words. */
  because: Trouble | null
}

/** What the phone was about to do when it left the screen: the camera may kill the browser. */
export interface Intent {
  job: string
  step: string
  /** Name of the proof whose photo is awaited. */
  name: string
}

export interface Writing {
  entry<K extends Kind>(kind: K, body: Body<K>): Promise<string>
  secret(field: PrivateField, value: string): Promise<Ref>
  /** The photo's hash. One that was expected is ready. */
  photo(bytes: Blob): Promise<string>
}

/** An act whose key is still held: it is signed meanwhile, and kept only once it has been held to the end. */
export interface Ahead {
  /** So long until then: the time that the act says. */
  inMs: number
  /** Resolves then; never where the finger leaves the key, and nothing of the act is left. */
  held: Promise<void>
}

export interface Counts {
  /** Entries by place: all that wait on this phone, and of those written here the others. */
  phone: number
  workshop: number
  backup: number
  /** Of those on this phone: what the workshop would not take. */
  refused: number
  /** Of all that is here, whoever wrote it: what only a newer app can read. */
  unread: number
  /** Jobs that are open and that this phone wrote in. */
  openHere: number
  photosWaiting: number
  bytesWaiting: number
}

export interface Store {
  device: ReadonlySignal<Device | null>
  /** This tab holds the lock, and its two copies were compared. */
  writer: ReadonlySignal<boolean>
  /** Another tab holds the lock: this one is read-only and says so. */
  beside: ReadonlySignal<boolean>
  trouble: ReadonlySignal<Trouble | null>
  /** Goes up when anything kept has changed, in whichever tab. */
  changed: ReadonlySignal<number>
  places: ReadonlySignal<Counts>
  /** Whether `places` has been counted since this page began. */
  counted: ReadonlySignal<boolean>
  /** What happened to what this phone keeps: losses, repairs, a full storage. Each stands until it is dismissed. */
  notices: ReadonlySignal<Trouble[]>
  /** Set when nothing of what lies here is to be shown any more: until the phone is let in anew. */
  sealed: ReadonlySignal<Sealed | null>
  /** The browser has promised to keep what is here. Shown, and trusted in nothing. */
  persisted: ReadonlySignal<boolean>

  /**
   * Sign and keep everything `build` asks for, all or nothing. Resolves when it is on disk and
   * has been read back; the caller shows the tick only then.
   *
   * @param ahead `build` is called at once, and the act kept later; once more where the log has grown meanwhile
   * @throws {NotKept} with what happened and what to do; nothing of it was kept.
   */
  write(job: string | null, build: (writing: Writing) => Promise<void>, ahead?: Ahead): Promise<Entry[]>
  /** A job's entries, or the workshop's statements: received ones in ledger order, then our own. */
  log(job: string | null): Promise<Held[]>
  /** The workshop's statements of these kinds, as `log` gives them: of others there may be very many. */
  statements(kinds: readonly string[]): Promise<Held[]>
  /** Who wrote what only a newer app can read: persons. */
  unreadBy(): Promise<string[]>
  /** Null for one whose opening has not come. */
  job(job: string): Promise<JobRow | null>
  jobs(): Promise<JobRow[]>
  /** What is kept of each job beside its entries, also of one that is not opened (`work/enquiries.ts`). */
  views(): Promise<JobView[]>
  secretValue(ref: Ref): Promise<string | null>
  photo(sha: string): Promise<Blob | null>
  bundle(sha: string): Promise<Bundle | null>
  bundles(): Promise<BundleRow[]>
  /** A picture of a bundle, by its hash. */
  asset(sha: string): Promise<Blob | null>
  /** A photo that may be kept soon: what keeping it needs is made ready meanwhile. */
  expectPhoto(photo: Blob): void
  /** The hash that a photo will be kept under. */
  photoId(photo: Blob): Promise<string>
  /** A small JPEG of a photo whose bytes were freed, or of one that was expected. */
  thumb(sha: string): Promise<Blob | null>
  /** Where a photo is: null when its bytes are not here. */
  photoPlace(sha: string): Promise<Place | null>
  setting(name: string): Promise<string | null>
  setSetting(name: string, value: string): Promise<void>
  intent(): Promise<Intent | null>
  /** Strict, and to be awaited before the camera opens. */
  setIntent(intent: Intent | null): Promise<void>
  /** Forget the key and what was received. What was not sent stays, and goes out when the phone is let in anew. */
  signOut(): Promise<void>
  /** A notice has been read. */
  dismiss(code: string): Promise<void>
  /** A zip of the job, for `twoturns import` on the workshop's computer. */
  exportJob(job: string): Promise<Blob>
  /** The same of everything that can be read, even where the storage cannot be opened as it should. */
  exportAll(): Promise<Blob>
}

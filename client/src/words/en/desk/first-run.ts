/** What `screens/desk/first-run.tsx` says. */

export const nextToDo = 'Next'
export const now = {
  procedure: 'Publish a procedure',
  tool: 'Register what is measured with',
  check: 'Enter the last check of a tool',
  mechanic: 'Invite a mechanic',
  joined: "Join the mechanic's phone",
  job: 'Open the first job',
  backup: 'Make a backup',
} as const
export const because = {
  procedure:
    'A job goes by a procedure: what is done in which order, and what proves it. Write one from a beginning, or have one published at the workshop by the command that README names.',
  tool: 'A torque counts only by a tool that the workshop knows.',
  check: 'A tool that was never checked measures nothing here.',
  mechanic: 'The invitation is a link and a code; it lets one device in, once.',
  joined: 'Open the link on the phone while it stands. An invitation that is over is made anew.',
  job: 'On the phone, or here at the engine.',
  backup:
    'What lies on one disk alone goes with it. README says how: once by hand, then every night by itself.',
} as const
export const what = {
  procedure: 'a procedure is published',
  tool: 'a tool is registered',
  check: 'a tool was checked',
  mechanic: 'a mechanic is invited',
  joined: 'a mechanic has joined',
  job: 'a job was opened',
  backup: 'a backup was made',
} as const

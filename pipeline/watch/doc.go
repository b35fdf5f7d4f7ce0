// Package watch is the unattended service over a shop's folders: it takes
// templates out of drop/, has them worked on, and publishes each as a whole
// folder in review/, ready/ or failed/.
//
// The folders are the state; there is no database. What is promised, and how:
//
//  1. An original is at every instant in exactly one place. It moves only by
//     rename: drop/ -> .work/ (the claim) -> a published folder. The one
//     exception is a second copy of bytes that are already published: it is
//     removed after a byte for byte comparison, and the published revision
//     keeps a note of it.
//  2. Nothing half-written is visible. A revision is built inside .work/,
//     synced, and appears by the rename of its folder.
//  3. A crash at any instant loses nothing and repeats nothing. Whatever stands
//     in .work/ is either an original to be worked on again, or scratch.
//  4. Two servers on one share never work on the same job: a claim is a folder
//     whose name is the job's key, and making it is atomic. A dead server's
//     claim is taken over by renaming the folder that names its owner, which
//     succeeds once, and after which the old owner's paths lead nowhere.
//  5. Nothing is written outside the shop folder. Every name is opened below an
//     os.Root; links in drop/ are never followed.
//
// Layout of .work/:
//
//	claims/KEY/gN-SERVER/   a job in work: original.dxf, job.json
//	scratch/SERVER/N/       what the processor writes, before it is published
//	stage/SERVER-N/         a claim about to be made; never holds an original
//	kept/SHA256.json        what was published with that result: digests of its files
//	names/KEY               how a job's name was first spelled
//	servers/SERVER.json     heartbeat and figures of a running server
//
// Time is always the difference of two readings of the monotonic clock; file
// times are compared with each other, never with now. Setting the clock back
// changes nothing.
package watch

// Package watch is the unattended service over a shop's folders: it takes
// templates out of drop/, has them worked on, and publishes each as a whole
// folder in review/, ready/ or failed/.
//
// The folders are the state; there is no database. What is promised, and how:
//
//  1. An original is at every instant in exactly one place: drop/, a claim in .work/, or
//     a published folder. The protocol of a claim, below, says which file it is. The one
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
//  5. Nothing is written or read outside the shop folder, and nothing in it by another way
//     than its own name: every name is looked up by package safefs, which follows no link
//     in any element and waits for nothing.
//  6. What is worked on and published is the service's own copy of what was dropped. A
//     release is made of what the service published, by digest, not of what review/ holds.
//
// # The protocol of a claim
//
// A claim is the folder claims/KEY/gN-SERVER. Its states, by what stands in it:
//
//	empty     job.json alone: nothing is taken, or all was published
//	taken     dropped.dxf, the templater's file, renamed out of drop/: it is the original.
//	          Beside it copy-*, a copy that is being made, or original.dxf, a whole one
//	secured   original.dxf without dropped.dxf: the service's own copy is the original
//	decided   taken/, a folder out of review/: what lies in it is the original. Beside it
//	          release/, the folder that is about to be published
//	released  taken/ without release/, and a published folder whose job.json names this
//	          claim: that one is the original, taken/ is what is left of it
//
// The steps, each by one call of the system, and who may do them:
//
//	empty -> taken       the owner: drop/NAME is renamed to dropped.dxf, from a folder held open.
//	                     What arrives is looked at: another file than the one found ready, or no
//	                     file, goes back to drop/ at once
//	taken                the owner copies and hashes, within the reading limit and the job's time;
//	                     a copy that is whole, and whose file was not touched meanwhile, is renamed
//	                     to original.dxf. A file that changed, or cannot be read, goes back to drop/
//	taken -> secured     the owner, when all that is published lies in the claim and is synced, and
//	                     dropped.dxf was not touched since it was copied: dropped.dxf is removed
//	secured -> empty     the owner: the claim's folder is renamed to its place in review/, ready/ or
//	                     failed/; a revision appears
//	taken -> empty       the owner: dropped.dxf is renamed back into drop/, where its name is free
//	empty -> decided     the owner: review/JOB/N is renamed to taken/; release/ is filled with copies,
//	                     each with the digest that the service remembers in kept/
//	decided -> released  the owner: release/ is renamed to ready/JOB/N or returned/JOB/N
//	decided -> empty     the owner: taken/ is renamed back to review/JOB/N
//	released -> empty    the owner: taken/ is removed; what the service did not make goes back
//	any, of a dead server  a server renames gN-OLD to gN+1-ITSELF: it is the owner now
//
// After a crash between any two steps the state is one of these, and whoever owns the claim
// then does its next step: in taken it copies again, in secured it works on the copy again,
// in decided it puts the folder back, and the decision is found anew, in released it
// clears. A server that was taken for dead and goes on finds nothing under its old name; a
// step of its that was already under way is one that the new owner could do too, and
// original.dxf is whole whenever it stands, so that removing dropped.dxf late loses nothing.
//
// Templaters and the office can do what they like in drop/ and review/, at any instant; they
// cannot enter .work/. Files that they hold open stay theirs until they are copied, and
// no published file is one of those, but the originals in failed/ that were too large
// to be copied. TestProtocol tries all of that at every call of the system.
//
// Layout of .work/:
//
//	claims/KEY/gN-SERVER/   a job in work: job.json and what the protocol says
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

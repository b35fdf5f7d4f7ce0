// Package safefs is the one way to touch what others can write: the folders of a
// shop, in which templaters and the office put, exchange and remove what they like,
// at any instant.
//
// What is guaranteed of every name given to a Dir:
//
//  1. It is looked up below a directory that is held open, element by element, and
//     no element that is a link is followed: ErrLink. Nothing outside the Dir is
//     reached, and nothing inside it by another way than its own name.
//  2. Nothing blocks on what it finds: a pipe, a socket, a device or a file under a
//     lease is an error at once. What is opened for reading is proven a regular file, of
//     the same device and inode as the one looked at an instant before: ErrNotFile.
//  3. A rename goes from a directory that is held open to another one, so that an
//     exchange of a folder above either name sends it nowhere else. Where a name has to be
//     free, the system itself refuses to replace, where it can.
//  4. An open file stays the one that was proven, whatever becomes of its name.
//
// What is not guaranteed: that a file keeps its content. Whoever may write it can do so
// while it is read; CopyTo therefore makes a copy that is the caller's own, counts the
// bytes while it copies, and tells whether the file changed meanwhile. Nothing helps
// against a file system that does not answer.
//
// Linux looks names up by openat2 (RESOLVE_BENEATH, RESOLVE_NO_SYMLINKS,
// RESOLVE_NO_XDEV), where the kernel lacks it and on other Unix systems by openat with
// O_NOFOLLOW for each element. Elsewhere (Windows) an os.Root is opened for each
// element and then proven, by the identity of what was opened, to be the entry itself
// and no link to another place.
//
// Names are slash separated and relative; "." is the Dir itself.
package safefs

package watch

import (
	"errors"
	"syscall"

	"golang.org/x/sys/windows"
)

// heldByLease tells that a file cannot be opened now because somebody else has it open.
func heldByLease(err error) bool { return errors.Is(err, windows.ERROR_SHARING_VIOLATION) }

// passing are the faults of the system that can go away without anything being
// done to the template.
func passing() []error {
	return []error{
		windows.ERROR_SHARING_VIOLATION, windows.ERROR_LOCK_VIOLATION, windows.ERROR_ACCESS_DENIED, windows.ERROR_DISK_FULL,
		windows.ERROR_HANDLE_DISK_FULL, windows.ERROR_WRITE_PROTECT, windows.ERROR_NOT_READY, windows.ERROR_TOO_MANY_OPEN_FILES,
		windows.ERROR_NOT_ENOUGH_MEMORY, windows.ERROR_BAD_NETPATH, windows.ERROR_BAD_NET_NAME, windows.ERROR_NETNAME_DELETED,
		windows.ERROR_NETWORK_UNREACHABLE, windows.ERROR_UNEXP_NET_ERR, windows.ERROR_SEM_TIMEOUT, windows.ERROR_DEV_NOT_EXIST,
		windows.ERROR_FILE_NOT_FOUND, windows.ERROR_PATH_NOT_FOUND, windows.ERROR_IO_DEVICE, windows.ERROR_BUSY,
		windows.ERROR_NO_SYSTEM_RESOURCES, windows.ERROR_DELETE_PENDING,
		// The names that Go has for faults of other systems, which libraries may use here too.
		syscall.ENOSPC, syscall.EDQUOT, syscall.EROFS, syscall.EACCES, syscall.EMFILE, syscall.EIO,
	}
}

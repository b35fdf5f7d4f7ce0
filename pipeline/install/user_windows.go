package install

// defaultUser is an account of few rights that every Windows has. It must be
// allowed to change the shop folder; for a share name a user of the domain.
func defaultUser(string) (string, error) { return `NT AUTHORITY\LocalService`, nil }

// checkUser leaves the account to the service manager, which knows the domain.
func checkUser(string) error { return nil }

// doubts is empty: who may do what, Windows says when the service starts.
func (o Options) doubts() string { return "" }

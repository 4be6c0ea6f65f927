package desk

import (
	"context"
	"runtime"

	"github.com/alexedwards/argon2id"

	"ebbline/jobs"
)

// passwords hashes and compares with argon2id. A semaphore bounds how many run
// at once, so that a storm of sign-ins cannot eat the memory.
type passwords struct {
	params *argon2id.Params
	slots  chan struct{}
	// nobody is compared with when there is no such user, so that the answer
	// takes as long.
	nobody string
}

func newPasswords(memoryKiB uint32) (*passwords, error) {
	if memoryKiB == 0 {
		memoryKiB = 19 * 1024
	}
	p := &passwords{
		params: &argon2id.Params{Memory: memoryKiB, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32},
		slots:  make(chan struct{}, max(2, runtime.NumCPU())),
	}
	var err error
	p.nobody, err = argon2id.CreateHash("no password at all", p.params)
	return p, err
}

func (p *passwords) hold(ctx context.Context) error {
	select {
	case p.slots <- struct{}{}:
		return nil
	case <-ctx.Done():
		return jobs.Wrap(jobs.CodeUnavailable, ctx.Err(), "Too many are signing in; try again")
	}
}

// hash takes about 35 ms: never inside a transaction.
func (p *passwords) hash(ctx context.Context, password string) (string, error) {
	if err := p.hold(ctx); err != nil {
		return "", err
	}
	defer func() { <-p.slots }()
	return argon2id.CreateHash(password, p.params)
}

// same says whether the password is the one behind the hash.
func (p *passwords) same(ctx context.Context, password, hash string) (bool, error) {
	if err := p.hold(ctx); err != nil {
		return false, err
	}
	defer func() { <-p.slots }()
	return argon2id.ComparePasswordAndHash(password, hash)
}

package worker

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/hibiken/asynq"
	"github.com/redis/go-redis/v9"

	"ebbline/dispatch/desk"
)

// The kinds of task. Payloads hold an id and nothing else.
const (
	taskNotice = "notice"
	taskPlan   = "plan_run"
	taskLook   = "look" // somebody rang: look in SQL for what is due
)

// Queue lets several workers share the load through Redis: a relay rings for
// what is due in SQL, and handlers do it. A task that comes twice, late or
// never harms nothing.
type Queue struct {
	Desk        *desk.Desk
	Delivery    *Delivery
	Intervals   Intervals
	Concurrency int // handlers at once; zero means 8
	Log         *slog.Logger

	redis asynq.RedisConnOpt
	rung  chan struct{}
}

// NewQueue reads an address such as redis://127.0.0.1:6379/0.
func NewQueue(address string) (*Queue, error) {
	opt, err := asynq.ParseRedisURI(address)
	if err != nil {
		return nil, fmt.Errorf("redis address: %w", err)
	}
	return &Queue{redis: opt, rung: make(chan struct{}, 1)}, nil
}

// Ping says whether Redis answers and takes writes.
func (q *Queue) Ping(ctx context.Context) error {
	c, ok := q.redis.MakeRedisClient().(redis.UniversalClient)
	if !ok {
		return errors.New("redis: unknown client")
	}
	defer c.Close()
	return c.Set(ctx, "ebbline:ping", "1", time.Minute).Err()
}

// Run works until ctx ends: the relay and the handlers. Redis may be away for
// a while; the relay goes on trying.
func (q *Queue) Run(ctx context.Context) error {
	every := q.Intervals.filled()
	n := q.Concurrency
	if n <= 0 {
		n = 8
	}
	server := asynq.NewServer(q.redis, asynq.Config{
		Concurrency:              n,
		Queues:                   map[string]int{taskNotice: 4, taskPlan: 1},
		ShutdownTimeout:          sendTimeout + 10*time.Second,
		DelayedTaskCheckInterval: time.Second,
		// What went wrong is in SQL, and SQL decides when to try again; a worker
		// that died is nobody's failure.
		IsFailure:      func(error) bool { return false },
		RetryDelayFunc: func(int, error, *asynq.Task) time.Duration { return every.Quiet },
		Logger:         quietLog{q.Log},
	})
	mux := asynq.NewServeMux()
	mux.HandleFunc(taskNotice, func(ctx context.Context, t *asynq.Task) error {
		return q.Delivery.One(ctx, string(t.Payload()))
	})
	mux.HandleFunc(taskPlan, func(taskCtx context.Context, t *asynq.Task) error {
		return q.Desk.RunPlan(taskCtx, string(t.Payload()), nil)
	})
	mux.HandleFunc(taskLook, func(context.Context, *asynq.Task) error {
		select {
		case q.rung <- struct{}{}:
		default:
		}
		return nil
	})
	if err := server.Start(mux); err != nil {
		return err
	}
	var wg sync.WaitGroup
	wg.Add(1)
	go func() { defer wg.Done(); q.relay(ctx, every) }()
	<-ctx.Done()
	server.Shutdown()
	wg.Wait()
	return nil
}

// relay turns rows that are due into tasks. Each ring gets a task id of its
// own, so that an old task never stands in a new one's way.
func (q *Queue) relay(ctx context.Context, every Intervals) {
	client := asynq.NewClient(q.redis)
	defer client.Close()
	look, clean := time.NewTicker(every.Sweep), time.NewTicker(every.Clean)
	defer look.Stop()
	defer clean.Stop()
	for {
		q.ring(ctx, client, every.Quiet)
		select {
		case <-ctx.Done():
			return
		case <-look.C:
		case <-q.rung:
		case <-clean.C:
			cleanUp(ctx, q.Desk, q.Log)
		}
	}
}

func (q *Queue) ring(ctx context.Context, client *asynq.Client, quiet time.Duration) {
	for ctx.Err() == nil {
		ids, err := q.Desk.NoticesToRing(ctx, quiet, 200)
		if err != nil {
			logUnlessOver(ctx, q.Log, "look for due notices", err)
			return
		}
		for _, id := range ids {
			if err := enqueue(ctx, client, taskNotice, id); err != nil {
				logUnlessOver(ctx, q.Log, "ring for a notice", err)
				return // the row stays due; the relay rings again after the quiet time
			}
		}
		if len(ids) < 200 {
			break
		}
	}
	ids, err := q.Desk.RunsToDo(ctx, 20)
	if err != nil {
		logUnlessOver(ctx, q.Log, "look for planning runs", err)
		return
	}
	for _, id := range ids {
		err := enqueue(ctx, client, taskPlan, id, asynq.Unique(quiet))
		if err != nil && !errors.Is(err, asynq.ErrDuplicateTask) {
			logUnlessOver(ctx, q.Log, "ring for a planning run", err)
			return
		}
	}
}

func enqueue(ctx context.Context, client *asynq.Client, kind, id string, more ...asynq.Option) error {
	timeout := 2 * sendTimeout
	if kind == taskPlan {
		timeout = 2 * time.Hour
	}
	opts := append([]asynq.Option{asynq.Queue(kind), asynq.MaxRetry(3), asynq.Timeout(timeout), asynq.Retention(0)}, more...)
	_, err := client.EnqueueContext(ctx, asynq.NewTask(kind, []byte(id)), opts...)
	return err
}

// Bell rings through Redis from a process that serves pages. It never makes a
// request wait: rings that find the line full are dropped, the relay finds what
// is due.
type Bell struct {
	client *asynq.Client
	log    *slog.Logger
	rings  chan string
}

// NewBell starts a bell; Close ends it.
func NewBell(address string, log *slog.Logger) (*Bell, error) {
	opt, err := asynq.ParseRedisURI(address)
	if err != nil {
		return nil, fmt.Errorf("redis address: %w", err)
	}
	b := &Bell{client: asynq.NewClient(opt), log: log, rings: make(chan string, 64)}
	go func() {
		for kind := range b.rings {
			ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
			// The bell names no row: the worker's relay looks in SQL for what is due.
			if _, err := b.client.EnqueueContext(ctx, asynq.NewTask(taskLook, []byte(kind)),
				asynq.Queue(taskNotice), asynq.MaxRetry(0), asynq.Timeout(time.Minute)); err != nil {
				b.log.Warn("the bell could not be rung; the sweep will find it", "error", err)
			}
			cancel()
		}
	}()
	return b, nil
}

// Ring wakes a worker soon, if Redis answers.
func (b *Bell) Ring(_ context.Context, kind string) {
	select {
	case b.rings <- kind:
	default:
	}
}

// Close ends the bell.
func (b *Bell) Close() error {
	close(b.rings)
	return b.client.Close()
}

// quietLog hands asynq's lines to slog.
type quietLog struct{ log *slog.Logger }

func (l quietLog) Debug(...any)      {}
func (l quietLog) Info(args ...any)  { l.log.Debug(fmt.Sprint(args...)) }
func (l quietLog) Warn(args ...any)  { l.log.Warn(fmt.Sprint(args...)) }
func (l quietLog) Error(args ...any) { l.log.Warn(fmt.Sprint(args...)) }
func (l quietLog) Fatal(args ...any) { l.log.Error(fmt.Sprint(args...)) }

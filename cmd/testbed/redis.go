package main

import (
	"bufio"
	"fmt"
	"net"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// startRedis serves an empty Redis that never throws a key away to make room.
// Durable means an append-only file flushed every second, as the compose file
// has it.
func startRedis(p place, program string, durable bool) (*server, error) {
	data, err := p.folder("redis")
	if err != nil {
		return nil, err
	}
	for try := 1; ; try++ {
		port, err := freePort()
		if err != nil {
			return nil, err
		}
		s := &server{name: "redis", address: "127.0.0.1:" + strconv.Itoa(port), signals: []syscall.Signal{syscall.SIGTERM}}
		args := []string{"--bind", "127.0.0.1", "--port", strconv.Itoa(port), "--unixsocket", data + "/redis.sock",
			"--dir", data, "--save", "", "--daemonize", "no", "--maxmemory-policy", "noeviction"}
		if durable {
			args = append(args, "--appendonly", "yes", "--appendfsync", "everysec")
		}
		if err := s.start(p, program, args...); err != nil {
			return nil, err
		}
		if err = s.await(func() error { return pingRedis(s.address) }); err == nil {
			return s, nil
		}
		_ = s.stop() // the first error says more
		if try == 3 {
			return nil, err
		}
	}
}

func pingRedis(address string) error {
	conn, err := net.DialTimeout("tcp", address, 2*time.Second)
	if err != nil {
		return err
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(2 * time.Second)); err != nil {
		return err
	}
	if _, err := fmt.Fprint(conn, "PING\r\n"); err != nil {
		return err
	}
	line, err := bufio.NewReader(conn).ReadString('\n')
	if err != nil {
		return err
	}
	if strings.TrimSpace(line) != "+PONG" {
		return fmt.Errorf("answered %q, not PONG", strings.TrimSpace(line))
	}
	return nil
}

// Package limit measures what a server that stores each tap before it shows it
// cannot be faster than: the disk, the database and the socket, each alone.
//
// One operation right after the other is the best there is. With a pause before
// each, as between taps, cores and disk go to sleep and have to wake up, and
// the same operation takes about twice as long or more; that is the limit with
// which a server at the same pace is fairly compared.
package limit

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/gorilla/websocket"

	"rootledger/tests/bench/durable"
)

const (
	// AppendBytes is what AppendSync writes at once: about one stored event.
	AppendBytes = 150
	// BatchRows is the rows of one commit of Batches.
	BatchRows = 100
	// EchoBytes is the size of the frames of Echo: one small tap.
	EchoBytes = 16

	maxSamples = 100_000
	maxTime    = time.Minute
	patience   = 5 * time.Second
)

// AppendSync appends AppendBytes to a file and forces them to the disk, n
// times, with a pause before each. It makes the same system call as the
// database does at a commit.
func AppendSync(dir string, n int, pause time.Duration) (samples []time.Duration, err error) {
	file, err := os.OpenFile(filepath.Join(dir, "append"), os.O_CREATE|os.O_WRONLY|os.O_APPEND|os.O_TRUNC, 0o600)
	if err != nil {
		return nil, fmt.Errorf("append: %w", err)
	}
	defer func() { err = errors.Join(err, file.Close(), os.Remove(file.Name())) }()
	record := make([]byte, AppendBytes)
	return repeat(n, pause, func(i int) error {
		record[0] = byte(i)
		if _, err := file.Write(record); err != nil {
			return err
		}
		return file.Sync()
	})
}

// Batches times n commits of BatchRows rows each, WAL, synchronous=FULL: small
// rows through one prepared statement, keys in order, which is the fastest way.
func Batches(dir string, n int) (samples []time.Duration, err error) {
	db, err := durable.Open(filepath.Join(dir, "limit.db"), `CREATE TABLE IF NOT EXISTS tap (
		phone INTEGER NOT NULL, seq INTEGER NOT NULL, PRIMARY KEY (phone, seq)) WITHOUT ROWID`)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	statement, err := db.Prepare("INSERT INTO tap (phone, seq) VALUES (?, ?)")
	if err != nil {
		return nil, fmt.Errorf("prepare: %w", err)
	}
	defer func() { err = errors.Join(err, statement.Close()) }()
	return repeat(n, 0, func(i int) error {
		tx, err := db.Begin()
		if err != nil {
			return err
		}
		insert := tx.Stmt(statement)
		for row := range BatchRows {
			if _, err := insert.Exec(1, i*BatchRows+row); err != nil {
				return errors.Join(err, tx.Rollback())
			}
		}
		return tx.Commit()
	})
}

// Echo times n round trips of one small binary frame over a websocket on
// 127.0.0.1, with a pause before each: there and back, both ends in this
// process.
func Echo(n int, pause time.Duration) (samples []time.Duration, err error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("listen: %w", err)
	}
	server := &http.Server{Handler: http.HandlerFunc(echo), ReadHeaderTimeout: patience}
	served := make(chan error, 1)
	go func() { served <- server.Serve(listener) }()
	defer func() {
		err = errors.Join(err, server.Close())
		if end := <-served; !errors.Is(end, http.ErrServerClosed) {
			err = errors.Join(err, end)
		}
	}()
	dialer := websocket.Dialer{HandshakeTimeout: patience}
	conn, _, err := dialer.Dial("ws://"+listener.Addr().String(), nil)
	if err != nil {
		return nil, fmt.Errorf("dial: %w", err)
	}
	defer func() { err = errors.Join(err, conn.Close()) }()
	frame := make([]byte, EchoBytes)
	return repeat(n, pause, func(i int) error {
		if err := conn.SetReadDeadline(time.Now().Add(patience)); err != nil {
			return err
		}
		if err := conn.WriteMessage(websocket.BinaryMessage, frame); err != nil {
			return err
		}
		_, back, err := conn.ReadMessage()
		if err == nil && len(back) != len(frame) {
			err = fmt.Errorf("%d bytes came back", len(back))
		}
		return err
	})
}

// echo sends back what comes, until the client goes.
func echo(w http.ResponseWriter, r *http.Request) {
	upgrader := websocket.Upgrader{}
	conn, err := upgrader.Upgrade(w, r, nil)
	if err != nil {
		return // the upgrader has answered
	}
	defer func() { _ = conn.Close() }()
	for {
		kind, frame, err := conn.ReadMessage()
		if err != nil || conn.WriteMessage(kind, frame) != nil {
			return
		}
	}
}

// repeat times n calls of one operation. The pause before each is not timed.
func repeat(n int, pause time.Duration, once func(i int) error) ([]time.Duration, error) {
	if n < 1 || n > maxSamples || pause > maxTime/time.Duration(n) {
		return nil, fmt.Errorf("%d samples, %v apart: want 1 to %d samples in %v", n, pause, maxSamples, maxTime)
	}
	samples := make([]time.Duration, n)
	for i := range samples {
		time.Sleep(pause)
		start := time.Now()
		if err := once(i); err != nil {
			return nil, fmt.Errorf("sample %d: %w", i, err)
		}
		samples[i] = time.Since(start)
	}
	return samples, nil
}

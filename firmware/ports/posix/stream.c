#define _DEFAULT_SOURCE 1
#define _POSIX_C_SOURCE 200809L

#include "stream.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <termios.h>
#include <unistd.h>

static bool complain(const char *name) {
  (void)fprintf(stderr, "could not open %s: %s\n", name, strerror(errno));
  return false;
}

static bool socket_address(struct sockaddr_un *address, const char *path) {
  memset(address, 0, sizeof *address);
  address->sun_family = AF_UNIX;
  if (strlen(path) >= sizeof address->sun_path) {
    errno = ENAMETOOLONG;
    return false;
  }
  memcpy(address->sun_path, path, strlen(path));
  return true;
}

static int connect_unix(const char *path) {
  struct sockaddr_un address;
  int fd;
  if (!socket_address(&address, path)) return -1;
  fd = socket(AF_UNIX, SOCK_STREAM, 0);
  if (fd >= 0 && connect(fd, (const struct sockaddr *)&address, sizeof address) != 0) {
    (void)close(fd);
    return -1;
  }
  return fd;
}

/** Waits for one who connects. */
static int listen_unix(const char *path) {
  struct sockaddr_un address;
  int listener;
  int fd;
  if (!socket_address(&address, path)) return -1;
  listener = socket(AF_UNIX, SOCK_STREAM, 0);
  if (listener < 0) return -1;
  (void)unlink(path);
  if (bind(listener, (const struct sockaddr *)&address, sizeof address) != 0 || listen(listener, 1) != 0) {
    (void)close(listener);
    return -1;
  }
  fd = accept(listener, NULL, NULL);
  (void)close(listener);
  return fd;
}

static bool speed_of(const char *text, speed_t *speed) {
  static const struct {
    long baud;
    speed_t speed;
  } known[] = {{9600, B9600},     {19200, B19200},   {38400, B38400},   {57600, B57600},
               {115200, B115200}, {230400, B230400}, {460800, B460800}, {921600, B921600}, {1000000, B1000000}};
  size_t i;
  long baud = strtol(text, NULL, 10);
  for (i = 0; i < sizeof known / sizeof known[0]; i++) {
    if (known[i].baud == baud) {
      *speed = known[i].speed;
      return true;
    }
  }
  errno = EINVAL;
  return false;
}

/** Raw, 8N1, no flow control by the device. */
static bool make_raw(int fd, speed_t speed) {
  struct termios options;
  if (tcgetattr(fd, &options) != 0) return false;
  options.c_iflag &= ~(tcflag_t)(IGNBRK | BRKINT | PARMRK | ISTRIP | INLCR | IGNCR | ICRNL | IXON | IXOFF);
  options.c_oflag &= ~(tcflag_t)OPOST;
  options.c_lflag &= ~(tcflag_t)(ECHO | ECHONL | ICANON | ISIG | IEXTEN);
  options.c_cflag &= ~(tcflag_t)(CSIZE | PARENB | CSTOPB);
  options.c_cflag |= (tcflag_t)(CS8 | CREAD | CLOCAL);
  options.c_cc[VMIN] = 1;
  options.c_cc[VTIME] = 0;
  if (cfsetispeed(&options, speed) != 0 || cfsetospeed(&options, speed) != 0) return false;
  return tcsetattr(fd, TCSANOW, &options) == 0;
}

static bool open_path(struct gw_stream *stream, const char *name) {
  char path[256];
  const char *at = strrchr(name, '@');
  size_t length = at == NULL ? strlen(name) : (size_t)(at - name);
  speed_t speed = B115200;
  int fd;
  if (length >= sizeof path) {
    errno = ENAMETOOLONG;
    return false;
  }
  memcpy(path, name, length);
  path[length] = '\0';
  if (at != NULL && !speed_of(at + 1, &speed)) return false;
  fd = open(path, O_RDWR | O_NOCTTY);
  if (fd < 0) return false;
  if (isatty(fd) && !make_raw(fd, speed)) return false;
  stream->in = fd;
  stream->out = fd;
  return true;
}

bool stream_open(struct gw_stream *stream, const char *name) {
  stream->in = -1;
  stream->out = -1;
  if (strcmp(name, "none") == 0) return true;
  if (strcmp(name, "stdio") == 0) {
    stream->in = STDIN_FILENO;
    stream->out = STDOUT_FILENO;
    return true;
  }
  if (strncmp(name, "fd:", 3) == 0) {
    char *comma;
    stream->in = (int)strtol(name + 3, &comma, 10);
    stream->out = *comma == ',' ? (int)strtol(comma + 1, NULL, 10) : stream->in;
    return fcntl(stream->in, F_GETFD) >= 0 && fcntl(stream->out, F_GETFD) >= 0 ? true : complain(name);
  }
  if (strncmp(name, "unix:", 5) == 0) {
    stream->in = connect_unix(name + 5);
    stream->out = stream->in;
    return stream->in >= 0 ? true : complain(name);
  }
  if (strncmp(name, "listen:", 7) == 0) {
    stream->in = listen_unix(name + 7);
    stream->out = stream->in;
    return stream->in >= 0 ? true : complain(name);
  }
  return open_path(stream, name) ? true : complain(name);
}

static bool is_ready(int fd, short events) {
  struct pollfd one;
  if (fd < 0) return false;
  one.fd = fd;
  one.events = events;
  one.revents = 0;
  return poll(&one, 1, 0) > 0;
}

bool stream_readable(const struct gw_stream *stream) { return is_ready(stream->in, POLLIN); }

bool stream_writable(const struct gw_stream *stream) { return is_ready(stream->out, POLLOUT); }

size_t stream_read(struct gw_stream *stream, uint8_t *octets, size_t room) {
  ssize_t count;
  if (!stream_readable(stream)) return 0;
  count = read(stream->in, octets, room);
  if (count > 0) return (size_t)count;
  if (count == 0 || (errno != EINTR && errno != EAGAIN)) stream->in = -1;
  return 0;
}

bool stream_read_all(struct gw_stream *stream, uint8_t *octets, size_t length) {
  while (length > 0) {
    ssize_t count = read(stream->in, octets, length);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return false;
    octets += count;
    length -= (size_t)count;
  }
  return true;
}

void stream_write(struct gw_stream *stream, const uint8_t *octets, size_t length) {
  while (length > 0 && stream->out >= 0) {
    ssize_t count = write(stream->out, octets, length);
    if (count >= 0) {
      octets += count;
      length -= (size_t)count;
    } else if (errno == EAGAIN) {
      struct pollfd one;
      one.fd = stream->out;
      one.events = POLLOUT;
      (void)poll(&one, 1, -1);
    } else if (errno != EINTR) {
      stream->out = -1;
    }
  }
}

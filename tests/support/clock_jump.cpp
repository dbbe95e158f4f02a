// SPDX-License-Identifier: GPL-3.0-or-later
//
// Loaded before the C library (LD_PRELOAD): the wall clock is off by the seconds that stand as an int64 in
// the file COWLWRIGHT_CLOCK_OFFSET, and jumps when that changes. Clocks that only count on are left alone.
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/mman.h>
#include <sys/time.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <ctime>

namespace {

const std::int64_t* map_offset() {
  static const std::int64_t none = 0;
  const char* name = std::getenv("COWLWRIGHT_CLOCK_OFFSET");
  const int descriptor = name != nullptr ? open(name, O_RDONLY | O_CLOEXEC) : -1;
  if (descriptor < 0) return &none;
  void* address = mmap(nullptr, sizeof none, PROT_READ, MAP_SHARED, descriptor, 0);
  close(descriptor);
  return address == MAP_FAILED ? &none : static_cast<const std::int64_t*>(address);
}

time_t offset() {
  static const volatile std::int64_t* seconds = map_offset();
  return static_cast<time_t>(*seconds);
}

}  // namespace

extern "C" int clock_gettime(clockid_t clock, timespec* now) noexcept {
  using Function = int (*)(clockid_t, timespec*);
  static const auto real = reinterpret_cast<Function>(dlsym(RTLD_NEXT, "clock_gettime"));
  const int result = real(clock, now);
  if (result == 0 && (clock == CLOCK_REALTIME || clock == CLOCK_REALTIME_COARSE)) now->tv_sec += offset();
  return result;
}

extern "C" int gettimeofday(timeval* now, void* zone) noexcept {
  (void)zone;
  timespec time{};
  const int result = clock_gettime(CLOCK_REALTIME, &time);
  *now = {time.tv_sec, time.tv_nsec / 1000};
  return result;
}

extern "C" time_t time(time_t* now) noexcept {
  timespec time{};
  clock_gettime(CLOCK_REALTIME, &time);
  if (now != nullptr) *now = time.tv_sec;
  return time.tv_sec;
}

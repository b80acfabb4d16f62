-- Gets the targets of a file in turn, one a line: path and query.
-- Prints what was measured as one line of JSON: latencies in microseconds.

local targets, place = {}, 0

function init(args)
  for line in io.lines(args[1]) do
    targets[#targets + 1] = wrk.format("GET", line)
  end
end

function request()
  place = place % #targets + 1
  return targets[place]
end

function done(summary, latency, requests)
  local failed = 0
  for _, count in pairs(summary.errors) do failed = failed + count end
  print(string.format(
    'measured {"requests": %d, "microseconds": %d, "failed": %d, "mean": %.3f, "p50": %.3f, "p95": %.3f, "p99": %.3f}',
    summary.requests, summary.duration, failed,
    latency.mean, latency:percentile(50), latency:percentile(95), latency:percentile(99)))
end

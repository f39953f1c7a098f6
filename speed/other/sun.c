/* Where the sun stands by ERFA, for the comparison of the speed report: reads
   instants as UT1 and TT, two-part Julian dates, and prints elevation and
   azimuth in degrees, without refraction, and the shortest time of one instant.

   cc -O2 -o sun sun.c -lerfa -lm
   sun LAT_DEG LON_DEG HEIGHT_M SECONDS < instants */
#include <erfa.h>
#include <erfaextra.h>
#include <erfam.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define MOST 10000
#define BATCH 20

static double lon, lat, observer[3];

struct instant { double ut[2], tt[2]; };

/* place gives the topocentric direction. precise: IAU 2006 precession and all of
   the IAU 2000A nutation; else IAU 2000B. The sun's own motion about the
   barycentre while the light travels, 0.008", is left out. */
static void place(const struct instant *at, int precise, double *el, double *az)
{
	double pvh[2][3], pvb[2][3], sun[3], v[3], unit[3], proper[3], true_[3];
	double npb[3][3], rb[3][3], rp[3][3], rbp[3][3], rn[3][3];
	double dpsi, deps, epsa, gst, dist, w = 0, r = 0;

	eraEpv00(at->tt[0], at->tt[1], pvh, pvb);
	for (int i = 0; i < 3; i++) {
		sun[i] = -pvh[0][i];
		v[i] = pvb[1][i] * (ERFA_DAU / ERFA_DAYSEC / ERFA_CMPS);
		w += v[i] * v[i];
	}
	eraPn(sun, &dist, unit);
	eraAb(unit, v, dist, sqrt(1 - w), proper);
	if (precise) {
		eraPnm06a(at->tt[0], at->tt[1], npb);
		gst = eraGst06(at->ut[0], at->ut[1], at->tt[0], at->tt[1], npb);
	} else {
		eraPn00b(at->tt[0], at->tt[1], &dpsi, &deps, &epsa, rb, rp, rbp, rn, npb);
		gst = eraGmst00(at->ut[0], at->ut[1], at->tt[0], at->tt[1]) + eraEe00(at->tt[0], at->tt[1], epsa, dpsi);
	}
	eraRxp(npb, proper, true_);

	/* Earth-fixed, less the observer, with the diurnal aberration. */
	const double spin = 1.00273781191135448 * ERFA_D2PI * ERFA_DAU / ERFA_DAYSEC / ERFA_CMPS;
	double c = cos(gst), s = sin(gst), e[3], x[3];
	x[0] = dist * (c * true_[0] + s * true_[1]) - observer[0];
	x[1] = dist * (c * true_[1] - s * true_[0]) - observer[1];
	x[2] = dist * true_[2] - observer[2];
	for (int i = 0; i < 3; i++) r += x[i] * x[i];
	r = sqrt(r);
	e[0] = x[0] / r - spin * observer[1];
	e[1] = x[1] / r + spin * observer[0];
	e[2] = x[2] / r;

	double east = e[1] * cos(lon) - e[0] * sin(lon);
	double out = e[0] * cos(lon) + e[1] * sin(lon);
	double north = e[2] * cos(lat) - out * sin(lat), up = e[2] * sin(lat) + out * cos(lat);
	*el = atan2(up, hypot(east, north)) * ERFA_DR2D;
	*az = eraAnp(atan2(east, north)) * ERFA_DR2D;
}

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(int argc, char **argv)
{
	static struct instant at[MOST];
	int n = 0;
	double el, az, sink = 0;

	if (argc != 5) return 2;
	lat = atof(argv[1]) * ERFA_DD2R;
	lon = atof(argv[2]) * ERFA_DD2R;
	if (eraGd2gc(1, lon, lat, atof(argv[3]), observer) != 0) return 2;
	for (int i = 0; i < 3; i++) observer[i] /= ERFA_DAU;
	while (n < MOST && scanf("%lf %lf %lf %lf", at[n].ut, at[n].ut + 1, at[n].tt, at[n].tt + 1) == 4) n++;
	if (n < BATCH) return 2;
	printf("ERFA %s\n", eraVersion());

	for (int precise = 1; precise >= 0; precise--) {
		for (int i = 0; i < n; i++) {
			place(&at[i], precise, &el, &az);
			printf("%d %.10f %.10f\n", precise, el, az);
		}
		double best = 1e9, end = now() + atof(argv[4]);
		for (int i = 0; now() < end; i = (i + BATCH) % (n - BATCH + 1)) {
			double t = now();
			for (int k = 0; k < BATCH; k++) {
				place(&at[i + k], precise, &el, &az);
				sink += el;
			}
			t = (now() - t) / BATCH;
			if (t < best) best = t;
		}
		printf("ns%d %.3f\n", precise, best * 1e9);
	}
	return sink == 0;
}

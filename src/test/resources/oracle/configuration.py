# The published standard's features of one image and mask, straight from their definitions with numpy and scipy, after the
# processing of its configurations D ("d": trilinear, 3 SD) and E ("e": cubic spline, [-1000, 400], 3 SD).
# Arguments: image, mask, "d" or "e", a file to write the intensities around the region into (float32, x fastest).
# Prints one "code aggregation value" a line; for codes that stand twice, "code-90" is the one at 90 %.
import sys
import nibabel
import numpy as np
from scipy import ndimage, signal, spatial

NEW = 2.0
BINS = 32


def out(code, aggregation, value):
    print(code, aggregation, repr(float(value)))


# ---- processing: grids with one centre, repeated borders, threshold 0.5 of the mask, rounding
def resample(a, spacing, order):
    at = []
    for n, s in zip(a.shape, spacing):
        m = int(np.ceil(round(n * s / NEW, 6)))
        at.append(np.clip(0.5 * (n - 1 - (m - 1) * NEW / s) + np.arange(m) * NEW / s, 0, n - 1))
    if order == 1:
        return ndimage.map_coordinates(a, np.meshgrid(*at, indexing="ij"), order=1, mode="nearest")
    return ndimage.map_coordinates(a, np.meshgrid(*at, indexing="ij"), order=3, mode="mirror")


def levels_of(x, bins):
    low, high = x.min(), x.max()
    return np.minimum(np.floor(bins * (x - low) / (high - low)).astype(int) + 1, bins)


# ---- intensities
def statistics(x, codes, aggregation="DHQ4"):
    mean, var = x.mean(), x.var()
    p10, p25, p50, p75, p90 = np.percentile(x, [10, 25, 50, 75, 90])
    robust = x[(x >= p10) & (x <= p90)]
    values = dict(
        mean=mean, var=var, skew=((x - mean) ** 3).mean() / var**1.5, kurt=((x - mean) ** 4).mean() / var**2 - 3,
        median=p50, min=x.min(), p10=p10, p90=p90, max=x.max(), iqr=p75 - p25, range=np.ptp(x),
        mad=np.abs(x - mean).mean(), rmad=np.abs(robust - robust.mean()).mean(), medad=np.abs(x - p50).mean(),
        cov=np.sqrt(var) / mean, qcod=(p75 - p25) / (p75 + p25), energy=(x**2).sum(), rms=np.sqrt((x**2).mean()))
    for name, code in codes.items():
        out(code, aggregation, values[name])


def histogram(q):
    n = np.bincount(q, minlength=BINS + 1)[1:].astype(float)
    p = n[n > 0] / n.sum()
    out("AMMC", "DHQ4", 1 + n.argmax())
    out("TLU2", "DHQ4", -(p * np.log2(p)).sum())
    out("BJ5W", "DHQ4", (p**2).sum())
    gradient = np.gradient(n)
    out("12CE", "DHQ4", gradient.max())
    out("8E6O", "DHQ4", 1 + gradient.argmax())
    out("VQB3", "DHQ4", gradient.min())
    out("RHQZ", "DHQ4", 1 + gradient.argmin())


def volume_histogram(x, grid):
    nu = np.array([(x >= g).mean() for g in grid])
    gamma = (grid - grid[0]) / (grid[-1] - grid[0])
    v10, v90 = (nu[gamma >= f - 1e-12][0] for f in (0.1, 0.9))
    i10, i90 = (grid[nu <= f][0] if (nu <= f).any() else grid[-1] + grid[1] - grid[0] for f in (0.1, 0.9))
    out("BC2M", "DHQ4", v10)
    out("BC2M-90", "DHQ4", v90)
    out("GBPN", "DHQ4", i10)
    out("GBPN-90", "DHQ4", i90)
    out("DDTU", "DHQ4", v10 - v90)
    out("CNV2", "DHQ4", i10 - i90)
    out("9CMM", "DHQ4", np.trapz(nu, gamma))


def peaks(image, x, inside):
    r = (3000 / (4 * np.pi)) ** (1 / 3)
    k = int(r // NEW)
    d = np.indices((2 * k + 1,) * 3) - k
    ball = ((d**2).sum(0) * NEW**2 <= r * r).astype(float)
    sums = ndimage.convolve(image, ball, mode="constant")
    means = sums / ndimage.convolve(np.ones_like(image), ball, mode="constant")
    out("VJGA", "DHQ4", means[inside & (image == x.max())].max())
    out("0F91", "DHQ4", means[inside].max())


# ---- shape, as far as it needs no mesh
def shape(region, image, inside):
    out("YEKZ", "DHQ4", region.sum() * NEW**3)
    c = np.argwhere(region) * NEW
    axes = np.sort(np.linalg.eigvalsh(np.cov(c.T)))[::-1]
    for code, value in zip(("TDIC", "P9VJ", "7J51"), 4 * np.sqrt(axes)):
        out(code, "DHQ4", value)
    out("Q3CK", "DHQ4", np.sqrt(axes[1] / axes[0]))
    out("N17B", "DHQ4", np.sqrt(axes[2] / axes[0]))
    grey = np.argwhere(inside) * NEW
    x = image[inside]
    out("KLMA", "DHQ4", np.linalg.norm(c.mean(0) - (grey * x[:, None]).sum(0) / x.sum()))
    # vertices of the mesh: half way between a voxel of the region and a neighbour outside it
    vertices = []
    padded = np.pad(region, 1).astype(int)
    for axis in range(3):
        edge = np.argwhere(np.diff(padded, axis=axis) != 0).astype(float)
        edge[:, axis] += 0.5
        vertices.append(edge)
    corners = np.concatenate(vertices) * NEW
    corners = corners[spatial.ConvexHull(corners).vertices]
    out("L0JK", "DHQ4", spatial.distance.pdist(corners).max())


def spatial_correlation(image, inside):
    at = np.argwhere(inside)
    box = tuple(slice(a, b + 1) for a, b in zip(at.min(0), at.max(0)))
    m = inside[box].astype(float)
    n = m.sum()
    y = np.where(m > 0, image[box] - image[inside].mean(), 0)
    d = np.indices([2 * k - 1 for k in m.shape]) - np.array(m.shape).reshape(3, 1, 1, 1) + 1
    r = np.sqrt((d**2).sum(0)) * NEW
    w = np.divide(1, r, out=np.zeros_like(r), where=r > 0)
    wm = signal.fftconvolve(m, w, mode="full")[tuple(slice(k - 1, 2 * k - 1) for k in m.shape)]
    wy = signal.fftconvolve(y, w, mode="full")[tuple(slice(k - 1, 2 * k - 1) for k in m.shape)]
    total = (wm * m).sum()
    out("N365", "DHQ4", n / total * (wy * y).sum() / (y**2).sum())
    out("NPT7", "DHQ4", (n - 1) / (2 * total) * 2 * ((wm * y * y).sum() - (wy * y).sum()) / (y**2).sum())


# ---- texture: q is padded with zeros
DIRECTIONS = [(dx, dy, dz) for dz in (-1, 0, 1) for dy in (-1, 0, 1) for dx in (-1, 0, 1) if (dz, dy, dx) > (0, 0, 0)]


def at(q, d):
    return np.roll(q, tuple(-k for k in d), (0, 1, 2))


def cooccurrence(q, d):
    a, b = q.ravel(), at(q, d).ravel()
    both = (a > 0) & (b > 0)
    m = np.zeros((BINS, BINS))
    np.add.at(m, (a[both] - 1, b[both] - 1), 1)
    return m + m.T


def cooccurrence_features(m):
    p = m / m.sum()
    i, j = np.indices(p.shape) + 1.0
    k = np.abs(i - j)
    mu = (i * p).sum()
    var = ((i - mu) ** 2 * p).sum()
    diff = np.array([p[k == d].sum() for d in range(BINS)])
    total = np.array([p[i + j == s].sum() for s in range(2, 2 * BINS + 1)])
    d, s = np.arange(BINS), np.arange(2, 2 * BINS + 1)
    h = lambda v: -(v[v > 0] * np.log2(v[v > 0])).sum()
    px = p.sum(1)
    hxy1 = -sum(p[a, b] * np.log2(px[a] * px[b]) for a in range(BINS) for b in range(BINS) if p[a, b] > 0)
    pp = np.outer(px, px)
    sa = (s * total).sum()
    return {
        "GYBY": p.max(), "60VM": mu, "UR99": var, "TU9B": h(p), "TF7R": (d * diff).sum(),
        "D3YU": ((d - (d * diff).sum()) ** 2 * diff).sum(), "NTRS": h(diff), "ZGXS": sa,
        "OEEB": ((s - sa) ** 2 * total).sum(), "P6QZ": h(total), "8ZQL": (p**2).sum(), "ACUI": (k**2 * p).sum(),
        "8S9J": (k * p).sum(), "IB1Z": (p / (1 + k)).sum(), "NDRX": (p / (1 + k / BINS)).sum(),
        "WF0Z": (p / (1 + k**2)).sum(), "1QCO": (p / (1 + k**2 / BINS**2)).sum(),
        "E8JP": (p[k > 0] / k[k > 0] ** 2).sum(), "NI2N": ((i - mu) * (j - mu) * p).sum() / var,
        "QWB0": (i * j * p).sum(), "DG8W": ((i + j - 2 * mu) ** 2 * p).sum(),
        "7NFM": ((i + j - 2 * mu) ** 3 * p).sum(), "AE86": ((i + j - 2 * mu) ** 4 * p).sum(),
        "R8DG": (h(p) - hxy1) / h(px), "JN9H": np.sqrt(1 - np.exp(-2 * (h(pp) - h(p))))}


def runs(q, d):
    start = (q > 0) & (at(q, [-k for k in d]) != q)
    level = q[start]
    length = np.ones(level.size, int)
    here = np.flatnonzero(start)
    going = np.arange(here.size)
    step = np.ravel_multi_index(np.array(d) + 1, q.shape) - np.ravel_multi_index((1, 1, 1), q.shape)
    flat = q.ravel()
    position = here.copy()
    while going.size:
        position[going] += step
        going = going[flat[position[going]] == level[going]]
        length[going] += 1
    return level, length


EMPHASES = [("short", 0, -2), ("long", 0, 2), ("low", -2, 0), ("high", 2, 0), ("shortlow", -2, -2),
            ("shorthigh", 2, -2), ("longlow", -2, 2), ("longhigh", 2, 2)]


def table_features(level, column, voxels, codes):
    m = np.zeros((BINS + 1, column.max() + 1))
    np.add.at(m, (level, column), 1)
    return matrix_features(m, voxels, codes)


def matrix_features(m, voxels, codes):
    i, j = np.indices(m.shape)
    n = m.sum()
    k = m > 0
    p = m[k] / n
    i, j = i[k].astype(float), j[k].astype(float)
    values = [(p * i**a * j**b).sum() for _, a, b in EMPHASES]
    rows, columns = m.sum(1), m.sum(0)
    values += [(rows**2).sum() / n, (rows**2).sum() / n**2, (columns**2).sum() / n, (columns**2).sum() / n**2, n / voxels]
    values += [(p * (i - (p * i).sum()) ** 2).sum(), (p * (j - (p * j).sum()) ** 2).sum(), -(p * np.log2(p)).sum()]
    values += [(p**2).sum()]
    return dict(zip(codes, values))


GLRLM = "22OV W4KF V3SW G3QZ HTZT GD3A IVPO 3KUM R5YN OVBL W92Y IC23 9ZK5 8CE5 SXLW HJ9O".split()
GLSZM = "5QRC 48P8 XMSY 5GN9 5RAI HW1V YH51 J17V JNSA Y1RO 4JP3 VB3A P30P BYLV 3NSA GU8N".split()
GLDZM = "0GBI MB4I S1RA K26C RUVG DKNJ A7WM KLTH VFT7 7HP3 V294 IATH VIWW QK93 7WT1 GBDU".split()
NGLDM = "SODN IMOQ TL9H OAE7 EQ3F JA6D NBZI 9QMG FP8K 5SPA Z87G OKJI 6XV8 1PFV DNX2 FCBV CAS9".split()


def texture(q, region):
    voxels = int((q > 0).sum())
    pairs = [cooccurrence(q, d) for d in DIRECTIONS]
    put_mean([cooccurrence_features(m) for m in pairs])
    put(cooccurrence_features(sum(pairs)), "IAZD")
    lines = [runs(q, d) for d in DIRECTIONS]
    put_mean([table_features(level, length, voxels, GLRLM) for level, length in lines])
    level, length = (np.concatenate(part) for part in zip(*lines))
    put(table_features(level, length, 13 * voxels, GLRLM), "IAZD")
    # city-block distance to what lies outside the region before re-segmentation
    steps = ndimage.distance_transform_cdt(region, "taxicab")
    zone_level, size, distance = [], [], []
    for g in range(1, BINS + 1):
        zones, n = ndimage.label(q == g, np.ones((3, 3, 3)))
        if n == 0:
            continue
        zone_level += [g] * n
        size += list(np.bincount(zones.ravel())[1:])
        distance += list(ndimage.minimum(steps, zones, np.arange(1, n + 1)))
    zone_level = np.array(zone_level)
    put(table_features(zone_level, np.array(size), voxels, GLSZM), "KOBO")
    put(table_features(zone_level, np.array(distance).astype(int), voxels, GLDZM), "KOBO")
    neighbours(q, voxels)


def neighbours(q, voxels):
    around = np.array([at(q, d) for e in DIRECTIONS for d in (e, tuple(-k for k in e))])
    inside = q > 0
    count = (around > 0).sum(0)[inside]
    level = q[inside]
    alike = 1 + (around == q).sum(0)[inside]
    put(table_features(level, alike, voxels, NGLDM), "KOBO")
    has = count > 0
    difference = np.abs(level[has] - around.sum(0)[inside][has] / count[has])
    n = np.bincount(level[has], minlength=BINS + 1).astype(float)
    s = np.bincount(level[has], difference, BINS + 1)
    p = n / n.sum()
    i = np.flatnonzero(n).astype(float)
    p, s = p[n > 0], s[n > 0]
    g = i.size
    ij = i[:, None] - i
    out("QCDE", "KOBO", 1 / (p * s).sum())
    out("65HE", "KOBO", (np.outer(p, p) * ij**2).sum() / (g * (g - 1)) * s.sum() / n.sum())
    out("NQ30", "KOBO", (p * s).sum() / np.abs((i * p)[:, None] - i * p).sum())
    ps = p * s
    out("HDEZ", "KOBO", (np.abs(ij) * (ps[:, None] + ps) / (p[:, None] + p)).sum() / n.sum())
    out("1X9X", "KOBO", ((p[:, None] + p) * ij**2).sum() / s.sum())


def put(features, aggregation):
    for code, value in features.items():
        out(code, aggregation, value)


def put_mean(all_features):
    for code in all_features[0]:
        out(code, "ITBB", np.mean([f[code] for f in all_features]))


def main(image_file, mask_file, which, target):
    file = nibabel.load(image_file)
    spacing = [float(s) for s in file.header.get_zooms()]
    image = resample(file.get_fdata(), spacing, 1 if which == "d" else 3)
    region = resample(nibabel.load(mask_file).get_fdata(), spacing, 1) >= 0.5 - 1e-9
    box = ndimage.find_objects(region.astype(int))[0]
    np.where(region, image, np.nan)[box].astype("<f4").ravel(order="F").tofile(target)
    # a tie is a tie in single precision: the last digits of a double depend on the order of summation
    image = np.rint(image.astype(np.float32)).astype(float)
    mean, sd = image[region].mean(), image[region].std()
    inside = region & (np.abs(image - mean) <= 3 * sd)
    if which == "e":
        inside &= (image >= -1000) & (image <= 400)
    x = image[inside]
    out("voxels", "region", region.sum())
    out("voxels", "intensity", inside.sum())
    shape(region, image, inside)
    spatial_correlation(image, inside)
    peaks(image, x, inside)
    statistics(x, dict(
        mean="Q4LE", var="ECT3", skew="KE2A", kurt="IPH6", median="Y12H", min="1GSF", p10="QG58", p90="8DWT",
        max="84IY", iqr="SALO", range="2OJQ", mad="4FUA", rmad="1128", medad="N72L", cov="7TET", qcod="9S40",
        energy="N8CA", rms="5ZWQ"))
    levels = levels_of(x, BINS)
    statistics(levels.astype(float), dict(
        mean="X6K6", var="CH89", skew="88K1", kurt="C3I7", median="WIFQ", min="1PR8", p10="GPMT", p90="OZ0C",
        max="3NCY", iqr="WR0O", range="5Z3W", mad="D2ZX", rmad="WRZB", medad="4RNL", cov="CWYJ", qcod="SLWD"))
    histogram(levels)
    if which == "d":
        volume_histogram(x, np.arange(x.min(), x.max() + 1))
    else:
        volume_histogram(levels_of(x, 1000), np.arange(1, 1001))
    q = np.zeros(image.shape, int)
    q[inside] = levels
    texture(np.pad(q[box], 1), np.pad(region[box], 1))


main(*sys.argv[1:])
